// The fonts that layouts are tested with: installed by name with the other packages, so that no test depends on
// the fonts of a machine.
import { readFile } from 'node:fs/promises';

/**
 * Each set: the font of labels and figures, and that of the sentences. `usual` has the widths of Arial and Times,
 * `broad` those of Arial and Georgia; the letters of `narrow` are a fifth narrower and those of `wide` half as wide
 * again.
 *
 * @type {Record<string, { text: string, prose: string }>}
 */
const SETS = {
  narrow: { text: 'pt-sans-narrow', prose: 'pt-sans-narrow' },
  usual: { text: 'arimo', prose: 'tinos' },
  broad: { text: 'arimo', prose: 'gelasio' },
  wide: { text: 'lexend-exa', prose: 'lexend-exa' },
};

/** The names of the sets, from narrow to wide. */
export const fontSets = Object.keys(SETS);

/** @param {string} name @param {number} weight */
async function fontFile(name, weight) {
  const file = `node_modules/@fontsource/${name}/files/${name}-latin-${weight}-normal.woff2`;
  return { name, weight, bytes: await readFile(new URL(file, import.meta.url), 'base64') };
}

/**
 * Sets the fonts of every document that a page opens from now on, through the element's custom properties; a host
 * page that sets these itself keeps its fonts. The fonts are made from bytes, so a page's policy does not forbid them.
 *
 * @param page
 * @param {string} set
 */
export async function useFonts(page, set) {
  const { text, prose } = SETS[set];
  const weights = [400, 700];
  const files = [...new Set([text, prose])].flatMap((name) =>
    weights.map((weight) => fontFile(name, weight)),
  );
  await page.evaluateOnNewDocument(
    (fonts, text, prose) => {
      for (const { name, weight, bytes } of fonts) {
        const data = Uint8Array.from(atob(bytes), (letter) => letter.charCodeAt(0));
        document.fonts.add(new FontFace(`test ${name}`, data.buffer, { weight: String(weight) }));
      }
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(
        `:where(:root) { --job-torque-font: 'test ${text}'; --job-torque-prose-font: 'test ${prose}'; }`,
      );
      document.adoptedStyleSheets = [sheet];
    },
    await Promise.all(files),
    text,
    prose,
  );
}
