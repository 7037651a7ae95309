// Opens every page of a packet at three widths and prints it: no sideways scroll, no error, no request, no cut row.
import { chromium } from "playwright-core";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const folder = resolve(process.argv[2]);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox"],
});
const wrong = [];
// Texts fainter than AA asks: 4.5 to 1 (WCAG 2.1, success criterion 1.4.3; luminance and ratio as defined there). The white
// halo of a drawing's texts is left out; what counts is the fill of the nearest thing behind.
function faint() {
  const parts = (color) => (color.match(/[\d.]+/g) ?? []).map(Number);
  const light = ([r, g, b]) => {
    const part = (v) => ((v /= 255) <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  };
  const behind = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const color = parts(getComputedStyle(at).backgroundColor);
      if (color.length && (color[3] ?? 1) > 0) return color;
    }
    return [255, 255, 255];
  };
  const said = new Set();
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let seen = 0;
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const e = node.parentElement;
    if (!node.data.trim() || /^(SCRIPT|STYLE|TITLE|DESC)$/i.test(e.tagName) || e.closest("[hidden]")) continue;
    const inDrawing = e.tagName === "text";
    const ink = light(parts(inDrawing ? getComputedStyle(e).fill : getComputedStyle(e).color));
    // The darkest fill a text of a drawing may lie on is that of a thing in the background, #eee.
    const ground = light(inDrawing ? [238, 238, 238] : behind(e));
    const ratio = (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
    seen += 1;
    if (ratio < 4.5) said.add(`${ratio.toFixed(1)} to 1 is faint: ${node.data.trim().slice(0, 40)}`);
  }
  if (seen === 0) said.add("has no text");
  return [...said];
}
// Two marks in every row, drawing and finding, one at its top and one at its foot, in signs that no job has: on paper both
// must come out on one sheet. They stand outside the flow, so that nothing is moved by them.
function marked() {
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
// The words of a printed file with their places in points, by sheet, as poppler's pdftotext tells them.
const scratch = mkdtempSync(join(tmpdir(), "truefall-pages-"));
function printed(pdf) {
  const file = join(scratch, "page.pdf");
  writeFileSync(file, pdf);
  const text = execFileSync("pdftotext", ["-bbox", file, "-"], { encoding: "utf8", maxBuffer: 1 << 28 });
  return text.split("<page ").slice(1).map((sheet) => {
    const [, width, height] = sheet.match(/width="([\d.]+)" height="([\d.]+)"/).map(Number);
    const words = [...sheet.matchAll(/<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/g)];
    return { width, height, words: words.map(([, x, y, right, foot, text]) => ({ x: +x, y: +y, right: +right, foot: +foot, text })) };
  });
}
let rowsOnPaper = 0;
function onPaper(sheets, things, said) {
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
    else rowsOnPaper += 1;
  });
}
const pages = readdirSync(folder).filter((name) => name.endsWith(".html"));
if (!pages.includes("index.html")) wrong.push("there is no index.html");
for (const name of pages) {
  for (const width of [360, 768, 1280]) {
    const page = await browser.newPage({ viewport: { width, height: 800 } });
    const said = (what) => wrong.push(`${name} at ${width}: ${what}`);
    page.on("console", (message) => message.type() === "error" && said(`console: ${message.text()}`));
    page.on("pageerror", (error) => said(`error: ${error.message}`));
    page.on("request", (request) => {
      const url = request.url();
      if (!url.startsWith("data:") && url !== pathToFileURL(resolve(folder, name)).href) said(`asks for ${url}`);
    });
    await page.goto(pathToFileURL(resolve(folder, name)).href);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (over > 0) said(`scrolls ${over} px sideways`);
    if ((await page.locator("h1").count()) !== 1) said("has not one heading");
    if ((await page.locator("svg:not([aria-label])").count()) > 0) said("has a drawing without words");
    if (width === 1280) (await page.evaluate(faint)).forEach(said);
    if ((await page.locator('img:not([alt]), img[alt=""]').count()) > 0) said("has a picture without words");
    if (width === 768) {
      // The walk is a screen, not a sheet.
      const things = name === "walk.html" ? [] : await page.evaluate(marked);
      for (const format of name === "walk.html" ? [] : ["Letter", "A4"]) {
        const sheets = printed(await page.pdf({ format, preferCSSPageSize: false }));
        const most = name === "index.html" ? 60 : 15;
        if (sheets.length < 1 || sheets.length > most) said(`prints on ${sheets.length} sheets of ${format}`);
        onPaper(sheets, things, (what) => said(`${format}: ${what}`));
      }
      await page.emulateMedia({ media: "print" });
      const cut = await page.evaluate(() =>
        [...document.querySelectorAll("tr, figure, .tag")].filter((e) => getComputedStyle(e).breakInside !== "avoid").length,
      );
      if (cut > 0) said(`${cut} rows or drawings may be cut on paper`);
      // What may not be cut must also fit: less the margins of 13 mm, 718 x 958 px of Letter and 695 x 1024 px of A4.
      for (const [sheet, width, height] of [["Letter", 718, 958], ["A4", 695, 1024]]) {
        await page.setViewportSize({ width, height });
        const tall = await page.evaluate(
          (most) => [...document.querySelectorAll("tr, figure, .tag")].filter((e) => e.getBoundingClientRect().height > most).length,
          height,
        );
        if (tall > 0) said(`${tall} rows or drawings are taller than a sheet of ${sheet}`);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        if (over > 0) said(`is ${over} px wider than a sheet of ${sheet}`);
      }
    }
    await page.close();
  }
}
await browser.close();
rmSync(scratch, { recursive: true });
if (rowsOnPaper < 50) wrong.push(`only ${rowsOnPaper} rows, drawings and findings were found on paper`);
if (wrong.length > 0) {
  console.error(wrong.join("\n"));
  process.exit(1);
}
console.log(`${pages.length} pages at 3 widths: nothing wrong; ${rowsOnPaper} rows, drawings and findings whole on paper`);
