// What is looked at on a printed page: rows whole on one sheet, nothing at the edge, words large enough to read. `sheets_fail.mjs`
// holds that each of these can complain.
import { execFileSync } from "node:child_process";

// Two marks in every row, drawing and finding, one at its top and one at its foot, in signs that no job has: on paper both
// must come out on one sheet. They stand outside the flow, so that nothing is moved by them.
export function marked() {
  const things = [...document.querySelectorAll("tr, figure, .tag")].filter((e) => e.getClientRects().length > 0);
  things.forEach((thing, i) => {
    const cells = thing.tagName === "TR" ? [...thing.cells] : [thing];
    const tallest = cells.reduce((a, b) => (b.offsetHeight > a.offsetHeight ? b : a));
    for (const [end, edge] of [["a", "top"], ["z", "bottom"]]) {
      const mark = document.createElement("span");
      mark.textContent = `zq${i}${end}`;
      mark.style.cssText = `position:absolute;left:0;${edge}:0;font:3px monospace;line-height:3px;white-space:nowrap;color:#999`;
      tallest.style.position = "relative";
      tallest.append(mark);
    }
  });
  return things.map((e) => (e.closest("thead") ? "head" : e.tagName.toLowerCase()));
}
const SIGNS = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };
const plain = (text) => text.replace(/&(amp|lt|gt|quot|apos);/g, (_, name) => SIGNS[name]);
// The words of a printed file with their places in points, by sheet, as poppler's pdftotext tells them.
export function printed(pdf) {
  const text = execFileSync("pdftotext", ["-bbox", "-", "-"], { input: pdf, encoding: "utf8", maxBuffer: 1 << 28 });
  return text.split("<page ").slice(1).map((sheet) => {
    const [, width, height] = sheet.match(/width="([\d.]+)" height="([\d.]+)"/).map(Number);
    const words = [...sheet.matchAll(/<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/g)];
    return { width, height, words: words.map(([, x, y, right, foot, text]) => ({ x: +x, y: +y, right: +right, foot: +foot, text: plain(text) })) };
  });
}
// The texts of a page that are written upwards.
export function upwards() {
  return [...document.querySelectorAll("text[transform]")].map((e) => e.textContent);
}
// No word is printed smaller than 7 points. A box that poppler tells is as tall as the face's ascent and descent: 1.10 of the
// size in Liberation Serif and more in Sans and Mono (their hhea tables); so a box may not be less than 7.7 points tall. What is
// written upwards comes out in bits, as wide as others are tall. Returns how many words were measured.
const LEAST = 7 * 1.1;
export function large(sheets, turned, said) {
  let measured = 0;
  sheets.forEach((sheet, n) => {
    for (const word of sheet.words.filter((w) => !/zq\d+[az]/.test(w.text))) {
      const [tall, wide] = [word.foot - word.y, word.right - word.x];
      // A bit of two signs or one may be wider than tall either way.
      const lies = !turned.some((text) => text.includes(word.text)) || (word.text.length > 2 && wide > tall);
      const size = lies ? tall : word.text.length > 2 ? wide : Math.max(tall, wide);
      measured += 1;
      if (size < LEAST) said(`sheet ${n + 1}: "${word.text}" is ${(size / 1.1).toFixed(1)} points large`);
    }
  });
  return measured;
}
// What is cut, runs into the edge, or leaves a sheet empty. Returns how many rows, drawings and findings are whole.
export function onPaper(sheets, things, said) {
  let whole = 0;
  const at = new Map();
  sheets.forEach((sheet, n) => {
    const plain = sheet.words.filter((w) => !/zq\d+[az]/.test(w.text));
    // Nothing nearer to the edge than 12 mm, less than the margin of 13 by what a rounded box may be off.
    const edge = (12 / 25.4) * 72;
    for (const word of plain) {
      if (word.x < edge || word.right > sheet.width - edge || word.y < edge || word.foot > sheet.height - edge)
        said(`sheet ${n + 1}: "${word.text}" runs into the edge`);
    }
    // The head of the page and nothing below it: a drawing that found no room beneath.
    if (n === 0 && plain.length < 25 && !sheet.words.some((w) => /zq\d+[az]/.test(w.text))) said(`sheet ${n + 1} is as good as empty`);
    for (const word of sheet.words)
      for (const [mark] of word.text.matchAll(/zq\d+[az]/g)) at.set(mark, [...(at.get(mark) ?? []), n]);
    // A head of a table at the foot of a sheet must have a row below it.
    const lowest = sheet.words.flatMap((w) => [...w.text.matchAll(/zq(\d+)z/g)].map((m) => [w.foot, +m[1]])).sort((a, b) => b[0] - a[0])[0];
    if (lowest && things[lowest[1]] === "head" && plain.every((w) => w.y < lowest[0] + 2)) said(`sheet ${n + 1} ends with the head of a table`);
  });
  things.forEach((kind, i) => {
    // A head comes again on every sheet its table goes on to.
    if (kind === "head") return;
    const [top, foot] = [at.get(`zq${i}a`), at.get(`zq${i}z`)];
    if (!top || !foot) said(`${kind} ${i} is not on paper`);
    else if (top[0] !== foot[0]) said(`${kind} ${i} is cut between sheets ${top[0] + 1} and ${foot[0] + 1}`);
    else whole += 1;
  });
  return whole;
}
