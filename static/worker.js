// A second copy of the page's program, off the screen, for work that takes long. The page sends the name of the
// glue and the program as it is compiled already, so nothing is fetched or compiled twice; from then on the program
// itself listens.

self.onmessage = async ({ data: { glue, program, texts } }) => {
  // The language of the page, for what is told on the way and for what is found.
  self.loomwright = texts;
  const app = await import(glue);
  await app.default({ module_or_path: program });
  self.postMessage('ready');
};
