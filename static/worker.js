// A second copy of the page's program, off the screen, for work that takes long. `boot.js` puts this text behind that of
// the glue, as one script in the page's own memory; the page sends the program as it is compiled already. So nothing is
// fetched or compiled twice, and from then on the program itself listens.

self.onmessage = async ({ data: { program, rest, texts } }) => {
  // The language of the page, for what is told on the way and for what is found.
  self.loomwright = texts;
  // The page has the whole program before it starts a worker; here the rest joins at once.
  self.loomwrightParts = { isWhole: () => true, whole: () => Promise.resolve(), rest: () => rest, wholeNow() {} };
  const lent = await __wbg_init({ module_or_path: program });
  if (rest) await WebAssembly.instantiate(rest, { l: lent });
  begin();
  self.postMessage('ready');
};
