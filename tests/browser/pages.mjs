// Opens every page of a packet at three widths and prints it: no sideways scroll, no error, no request, no cut row.
import { chromium } from "playwright-core";
import { readdirSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { large, marked, onPaper, printed, upwards } from "./sheets.mjs";

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
let rowsOnPaper = 0;
let wordsMeasured = 0;
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
      const turned = await page.evaluate(upwards);
      for (const format of name === "walk.html" ? [] : ["Letter", "A4"]) {
        const sheets = printed(await page.pdf({ format, preferCSSPageSize: false }));
        const most = name === "index.html" ? 60 : 15;
        if (sheets.length < 1 || sheets.length > most) said(`prints on ${sheets.length} sheets of ${format}`);
        wordsMeasured += large(sheets, turned, (what) => said(`${format}: ${what}`));
        rowsOnPaper += onPaper(sheets, things, (what) => said(`${format}: ${what}`));
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
if (rowsOnPaper < 50) wrong.push(`only ${rowsOnPaper} rows, drawings and findings were found on paper`);
if (wordsMeasured < 1000) wrong.push(`only ${wordsMeasured} words were measured on paper`);
if (wrong.length > 0) {
  console.error(wrong.join("\n"));
  process.exit(1);
}
console.log(`${pages.length} pages at 3 widths: nothing wrong; ${rowsOnPaper} rows, drawings and findings whole on paper`);
