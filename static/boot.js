// Starts the page: reads the names of the glue and the program from the <meta name="app"> element
// that the build writes, and hands the program to the glue. A file of its own because the page's
// policy forbids inline script.

// The chosen look, before anything is drawn. A browser that keeps nothing has the usual one.
try {
  document.documentElement.dataset.theme = localStorage.getItem('loomwright.theme') ?? 'light';
} catch {
  // Nothing to read.
}

const app = document.querySelector('meta[name="app"]');

/** Says in plain words that the page could not start, and what to try. */
function failed(error) {
  console.error(error);
  const box = document.createElement('p');
  box.setAttribute('role', 'alert');
  box.textContent =
    'Loomwright could not start. Load the page again; if that does not help, use a newer browser. ' +
    'Plans you saved in this browser are still there.';
  document.body.append(box);
}

try {
  const glue = await import(new URL(app.dataset.js, document.baseURI).href);
  await glue.default({ module_or_path: new URL(app.dataset.wasm, document.baseURI).href });
} catch (error) {
  failed(error);
}
