// Starts the page: reads the names of the glue and the program from the <meta name="app"> element
// that the build writes, and hands the program to the glue. A file of its own because the page's
// policy forbids inline script.

const root = document.documentElement;

/** A choice kept in the browser or, where it keeps nothing, in the address. */
function kept(name) {
  const asked = new URLSearchParams(location.search).get(name);
  try {
    return asked ?? localStorage.getItem(`loomwright.${name}`);
  } catch {
    return asked;
  }
}

// The chosen look, before anything is drawn.
root.dataset.theme = kept('theme') ?? 'light';

// The language: the one chosen, else the first of the browser's that there is a file for. English is in the program.
const LANGUAGES = ['en', 'de'];
const of = (tag) => tag?.slice(0, 2).toLowerCase();
let language = [kept('language'), ...navigator.languages].map(of).find((tag) => LANGUAGES.includes(tag)) ?? 'en';
let texts = '';
if (language !== 'en') {
  texts = fetch(new URL(`text/${language}.po`, document.baseURI))
    .then((file) => (file.ok ? file.text() : Promise.reject(new Error(`there is no ${file.url}`))))
    .catch((error) => {
      console.info(`In English: ${error.message}`);
      language = 'en';
      return '';
    });
}
root.lang = language;
// As the reader's region writes numbers, where the browser's language is the one shown.
const region = navigator.languages.find((tag) => of(tag) === language) ?? language;
const decimal = kept('decimal');
if (decimal) root.dataset.decimal = decimal;

/** What is said before the program is there, or when it cannot come. */
const SAID = {
  en: {
    opening: 'Opening…',
    failed:
      'Loomwright could not start. Load the page again; if that does not help, use a newer browser. ' +
      'Plans you saved in this browser are still there.',
  },
  de: {
    opening: 'Wird geöffnet …',
    failed:
      'Loomwright konnte nicht starten. Laden Sie die Seite neu; hilft das nicht, nehmen Sie einen neueren Browser. ' +
      'Pläne, die in diesem Browser gespeichert sind, sind noch da.',
  },
};

const opening = document.createElement('p');
opening.className = 'home-main';
opening.setAttribute('role', 'status');
opening.textContent = SAID[language].opening;
document.querySelector('.home').append(opening);

const app = document.querySelector('meta[name="app"]');

/** Says in plain words that the page could not start, and what to try. */
function failed(error) {
  console.error(error);
  opening.remove();
  const box = document.createElement('p');
  box.setAttribute('role', 'alert');
  box.textContent = SAID[language].failed;
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

/** Whether anything of an earlier visit is kept but choices of look and language (src/keep/shelf.rs has the names). */
function keepsAnything() {
  try {
    return Object.keys(localStorage).some((key) => key.startsWith('loomwright.1.'));
  } catch {
    return false;
  }
}

/**
 * Brings the two parts of the program together. The first asks for the rest by these names (src/app/whole.rs), and calls
 * `wholeNow` when something of the rest is needed before it is there. A build that was not cut names no rest.
 */
function partsOf(name) {
  const url = name && new URL(name, document.baseURI).href;
  let lent;
  let rest;
  let coming;
  const joined = () => !name || rest !== undefined;
  const fetched = async () => {
    const file = await fetch(url);
    if (!file.ok) throw new Error(`${url}: ${file.status}`);
    const named = file.headers.get('content-type')?.startsWith('application/wasm');
    return named ? WebAssembly.compileStreaming(file) : WebAssembly.compile(await file.arrayBuffer());
  };
  let compiled;
  // Failed, it may be tried again.
  const compile = () => (compiled ??= fetched().catch((error) => ((compiled = undefined), Promise.reject(error))));
  const bring = async () => {
    const module = await compile();
    // It may have been needed at once meanwhile.
    if (!joined()) await WebAssembly.instantiate(module, { l: lent });
    rest ??= module;
  };
  return {
    compile: () => (joined() ? Promise.resolve() : compile()),
    lend: (exports) => (lent = exports),
    isWhole: joined,
    rest: () => rest,
    whole() {
      if (joined()) return Promise.resolve();
      coming ??= bring().finally(() => (coming = undefined));
      return coming;
    },
    wholeNow() {
      if (joined()) return;
      // Only a request that blocks can answer a caller who waits; its bytes come as a text of the user-defined charset.
      console.info('The rest of the program is needed early.');
      const request = new XMLHttpRequest();
      request.open('GET', url, false);
      request.overrideMimeType('text/plain; charset=x-user-defined');
      request.send();
      if (request.status !== 200) throw new Error(`${url}: ${request.status}`);
      const bytes = Uint8Array.from(request.responseText, (letter) => letter.charCodeAt(0) & 255);
      rest = new WebAssembly.Module(bytes);
      new WebAssembly.Instance(rest, { l: lent });
    },
  };
}

/** Fetches what the page needs later: the rest of the program, the script of the workers, and what it needs offline. */
async function complete() {
  await globalThis.loomwrightParts.whole().catch((error) => console.info(`Not whole yet: ${error.message}`));
  // Without workers the program does its work on the page itself.
  await prepareWorker().catch((error) => console.info(`No workers: ${error.message}`));
  document.body.dataset.loaded = 'true';
  dispatchEvent(new Event('loomwright-loaded'));
}

try {
  globalThis.loomwrightParts = partsOf(app.dataset.rest);
  const parts = globalThis.loomwrightParts;
  // A visit that finds nothing kept and brings nothing can start without the rest. Where a service worker answers, all
  // of it is here anyway.
  const small = !keepsAnything() && location.hash === '' && !navigator.serviceWorker?.controller;
  if (!small) parts.compile().catch(() => {});
  const glue = await import(new URL(app.dataset.js, document.baseURI).href);
  texts = await texts;
  root.lang = language;
  globalThis.loomwright = {
    language,
    decimal: decimal || new Intl.NumberFormat(region).format(1.5).charAt(1),
    texts,
  };
  parts.lend(await glue.default({ module_or_path: new URL(app.dataset.wasm, document.baseURI).href }));
  if (!small) await parts.whole();
  glue.begin();
  // The first part is on the screen before anything else shares the line with it.
  requestAnimationFrame(() => setTimeout(complete));
} catch (error) {
  failed(error);
}
