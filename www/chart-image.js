/**
 * The chart as a picture that can stand alone: its lines, its words drawn on it, and above and below
 * them what whoever meets it elsewhere must read.
 */

/**
 * @typedef {import('./jobtorque.js').Label} PictureLabel
 * @typedef {import('./chart.js').Drawing} Drawing
 */

/** Sizes in the picture's own pixels, of which there are two for each pixel of the file. */
const PICTURE = {
  width: 960,
  chart: 420,
  places: 120,
  edge: 28,
  text: 15,
  headline: 24,
  line: 1.4,
  ratio: 2,
};

/** What `draw` is asked to fill. */
export const pictureFrame = {
  width_px: PICTURE.width - 2 * PICTURE.edge,
  height_px: PICTURE.chart,
  text_px: PICTURE.text,
  runs: false,
  top_nm: undefined,
};

/** What the plot of places is asked to fill. */
export const placesFrame = { ...pictureFrame, height_px: PICTURE.places };

/** Pixels of the file for each of the picture. */
export const pictureRatio = PICTURE.ratio;

/**
 * A paragraph of the picture.
 * @typedef {{ text: string, large?: boolean, colour?: string }} Paragraph
 */

/**
 * A picture of a drawing that was made for [`pictureFrame`].
 * @param {Drawing} drawing
 * @param {Paragraph[]} above
 * @param {Paragraph[]} below
 * @returns {Promise<Blob | null>}
 */
export function pictureOf(drawing, above, below) {
  const canvas = document.createElement('canvas');
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  const top = laid(context, drawing, above);
  const key = laid(context, drawing, drawing.key);
  const { places } = drawing;
  const said = places ? [{ text: places.text, colour: drawing.quiet }] : [];
  const foot = laid(context, drawing, [...said, ...below]);
  const { width, edge, chart, ratio } = PICTURE;
  const second = places ? PICTURE.places : 0;
  const height = edge + top.height + chart + key.height + second + foot.height + edge;
  canvas.width = width * ratio;
  canvas.height = height * ratio;
  context.scale(ratio, ratio);
  context.fillStyle = drawing.ground;
  context.fillRect(0, 0, width, height);
  write(context, top.lines, edge, edge);
  const start = edge + top.height;
  context.drawImage(drawing.canvas, edge, start, width - 2 * edge, chart);
  for (const word of drawing.words) drawWord(context, drawing, word, start);
  write(context, key.lines, edge, start + chart);
  const placed = start + chart + key.height;
  if (places) {
    context.drawImage(places.canvas, edge, placed, width - 2 * edge, second);
    for (const label of places.words) drawWord(context, drawing, { label, colour: drawing.quiet }, placed);
  }
  write(context, foot.lines, edge, placed + second);
  return new Promise((resolve) => canvas.toBlob(resolve, 'image/png'));
}

/**
 * A word of the chart in its place.
 * @param {CanvasRenderingContext2D} context
 * @param {Drawing} drawing
 * @param {{ label: PictureLabel, colour: string }} word
 * @param {number} top of the chart
 */
function drawWord(context, drawing, { label, colour }, top) {
  context.font = `${PICTURE.text}px ${drawing.font}`;
  context.fillStyle = colour;
  context.textAlign = label.anchor === 'middle' ? 'center' : label.anchor;
  context.textBaseline = 'middle';
  const [x, y] = [PICTURE.edge + label.x_px, top + label.y_px + (PICTURE.text * 1.25) / 2];
  context.strokeStyle = drawing.ground;
  context.lineWidth = 3;
  context.strokeText(label.text, x, y);
  context.fillText(label.text, x, y);
}

/**
 * Paragraphs in lines that are no wider than the picture.
 * @param {CanvasRenderingContext2D} context
 * @param {Drawing} drawing
 * @param {Paragraph[]} paragraphs
 */
function laid(context, drawing, paragraphs) {
  /** @type {{ text: string, font: string, colour: string, top: number }[]} */
  const lines = [];
  let height = 0;
  for (const { text, large, colour = drawing.ink } of paragraphs) {
    const size = large ? PICTURE.headline : PICTURE.text;
    const font = `${large ? 'bold ' : ''}${size}px ${drawing.font}`;
    context.font = font;
    for (const line of wrapped(context, text)) {
      lines.push({ text: line, font, colour, top: height });
      height += size * PICTURE.line;
    }
    height += PICTURE.text / 3;
  }
  return { lines, height };
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {string} text
 */
function wrapped(context, text) {
  /** @type {string[]} */
  const lines = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line ? `${line} ${word}` : word;
    if (line && context.measureText(longer).width > pictureFrame.width_px) {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return line ? [...lines, line] : lines;
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {{ text: string, font: string, colour: string, top: number }[]} lines
 * @param {number} left
 * @param {number} top
 */
function write(context, lines, left, top) {
  context.textAlign = 'start';
  context.textBaseline = 'top';
  for (const line of lines) {
    context.font = line.font;
    context.fillStyle = line.colour;
    context.fillText(line.text, left, top + line.top);
  }
}
