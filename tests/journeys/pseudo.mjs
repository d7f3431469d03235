// A language made up for tests: every letter of every text is replaced by its full-width form, so that whatever the page
// still says in plain letters was not said through the texts that can be translated.

/** Texts of a PO file as `{ context, text }`, in their order; its escapes stay as they stand. */
export function entries(po) {
  const found = [];
  let entry = null;
  let field = '';
  for (const line of po.split('\n')) {
    const [, name, text] = /^(msgctxt|msgid|msgstr) "(.*)"$/.exec(line) ?? [];
    if (name === 'msgctxt' || (name === 'msgid' && field !== 'msgctxt')) found.push((entry = { msgctxt: null, msgid: '' }));
    if (name) {
      field = name;
      entry[name] = text;
    } else if (line.startsWith('"')) {
      entry[field] += line.slice(1, -1);
    } else {
      field = '';
    }
  }
  return found.filter(({ msgid }) => msgid !== '').map(({ msgctxt, msgid }) => ({ context: msgctxt, text: msgid }));
}

const wide = (letter) => String.fromCharCode(letter.charCodeAt(0) + 0xfee0);

/** A text in the made-up language; holes and escapes stay. */
export const pseudo = (text) =>
  text.replace(/\{\{|\}\}|\{[^}]*\}|\\.|[A-Za-z]/g, (piece) => (/^[A-Za-z]$/.test(piece) ? wide(piece) : piece));

/** The template as a translation into the made-up language. */
export function translation(template) {
  const said = entries(template).map(({ context, text }) => {
    const head = context === null ? '' : `msgctxt "${context}"\n`;
    return `${head}msgid "${text}"\nmsgstr "${pseudo(text)}"\n`;
  });
  return ['msgid ""\nmsgstr ""\n"Language: de\\n"\n', ...said].join('\n');
}

/**
 * What the page says: text of every element that a screen or a screen reader shows, names and hints of controls, the
 * title. Runs in the page. Texts within one block are told apart at elements.
 */
export function said(root = document) {
  const out = [];
  for (const details of root.querySelectorAll('details')) details.open = true;
  const walker = document.createTreeWalker(root.body ?? root, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const owner = node.parentElement;
    // The names of publications are not translated, and neither are the user's own words in an example.
    if (owner.closest('script, style, noscript, textarea, .sources strong, .catalogue .build-item-more')) continue;
    if (owner.closest('[data-example] strong')) continue;
    const seen = root !== document || owner.closest('option, #print-sheets') || owner.checkVisibility();
    const text = node.textContent.replace(/\s+/g, ' ').trim();
    if (seen && text) out.push(text);
  }
  for (const element of root.querySelectorAll('[aria-label], [title], [placeholder], [alt]')) {
    for (const name of ['aria-label', 'title', 'placeholder', 'alt']) {
      const text = element.getAttribute(name);
      if (text) out.push(text);
    }
  }
  out.push(document.title);
  return [...new Set(out)];
}

/** What may stand in plain letters, and why. */
const FREE = [
  // Identities of filaments in the examples, of wishes and of a catalogue's row; the mark of a plan file.
  /\b(?:major|minor|main|wish\d+|1N4004 maker set|loomwright-plan)\b/g,
  // Identities of parts, wires, terminals and lamp circuits, alone or with what belongs to them.
  /\b[A-Z]{1,2}\d+(?:[.:][\w+-]+)*(?::[\w+-]+)?/g,
  // Times, written by the browser in the language asked for.
  /\d{1,2}\. \p{L}+\.? \d{4}, \d\d:\d\d/gu,
  // Designations, standards and units: capitals, alone or with digits and a small tail (BAY15d, AGM, LiFePO4, RoHS).
  /\b\d*[A-Z][A-Z0-9/.-]*[A-Z0-9](?:[a-z]{1,2}|\b)/g,
  /\b(?:LiFePO4|Loomwright|Schottky|English|Deutsch)\b/g,
  // The ending of the plan's own files.
  /\.?\bloomwright\b/g,
];

/** The texts that still hold words of three and more plain letters: these words, and the text. */
export function leaks(texts) {
  return texts.flatMap((text) => {
    let rest = text;
    for (const pattern of FREE) rest = rest.replace(pattern, ' ');
    const words = rest.match(/(?<![\p{L}\d])[A-Za-z]{3,}/gu);
    return words ? [`${words.join(' ')} in: ${text}`] : [];
  });
}

/** A plan whose own words are in the made-up language as well, so that what the page adds to them stands out. */
export function worded(plan) {
  const walk = (value, key) => {
    if (typeof value === 'string') return ['title', 'notes', 'label', 'why'].includes(key) ? pseudo(value) : value;
    if (Array.isArray(value)) return value.map((item) => walk(item, key));
    if (value === null || typeof value !== 'object') return value;
    return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, walk(item, name)]));
  };
  return walk(plan, '');
}
