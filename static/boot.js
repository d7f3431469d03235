// Starts the page: reads the names of the glue and the program from the <meta name="app"> element
// that the build writes, and hands the program to the glue. A file of its own because the page's
// policy forbids inline script.

// The chosen look, before anything is drawn. A browser that keeps nothing has the usual one.
try {
  document.documentElement.dataset.theme = localStorage.getItem('loomwright.theme') ?? 'light';
} catch {
  // Nothing to read.
}

const opening = document.createElement('p');
opening.className = 'home-main';
opening.setAttribute('role', 'status');
opening.textContent = 'Opening…';
document.querySelector('.home').append(opening);

const app = document.querySelector('meta[name="app"]');

/** Says in plain words that the page could not start, and what to try. */
function failed(error) {
  console.error(error);
  opening.remove();
  const box = document.createElement('p');
  box.setAttribute('role', 'alert');
  box.textContent =
    'Loomwright could not start. Load the page again; if that does not help, use a newer browser. ' +
    'Plans you saved in this browser are still there.';
  document.body.append(box);
}

/**
 * Puts the script of the workers together while the page loads: a worker that is started later, perhaps much later and
 * without a network, asks for nothing. The glue is here already; the browser's cache has its text.
 */
async function prepareWorker() {
  const texts = [app.dataset.js, 'worker.js'].map(async (name) => {
    const response = await fetch(new URL(name, document.baseURI), { cache: 'force-cache' });
    if (!response.ok) throw new Error(`${name}: ${response.status}`);
    return `${await response.text()}\n`;
  });
  const script = new Blob(await Promise.all(texts), { type: 'text/javascript' });
  app.dataset.worker = URL.createObjectURL(script);
}

try {
  const glue = await import(new URL(app.dataset.js, document.baseURI).href);
  // Without workers the program does its work on the page itself.
  prepareWorker().catch((error) => console.info(`No workers: ${error.message}`));
  await glue.default({ module_or_path: new URL(app.dataset.wasm, document.baseURI).href });
} catch (error) {
  failed(error);
}
