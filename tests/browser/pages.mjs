// Opens every page of a packet at three widths and prints it: no sideways scroll, no error, no request, no cut row.
import { chromium } from "playwright-core";
import { readdirSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const folder = resolve(process.argv[2]);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox"],
});
const wrong = [];
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
    if (width === 768) {
      for (const format of ["Letter", "A4"]) {
        const pdf = await page.pdf({ format, preferCSSPageSize: false });
        const count = (pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g) ?? []).length;
        const most = name === "index.html" ? 120 : 40;
        if (count < 1 || count > most) said(`prints on ${count} sheets of ${format}`);
      }
      await page.emulateMedia({ media: "print" });
      const cut = await page.evaluate(() =>
        [...document.querySelectorAll("tr, figure, .tag")].filter((e) => getComputedStyle(e).breakInside !== "avoid").length,
      );
      if (cut > 0) said(`${cut} rows or drawings may be cut on paper`);
    }
    await page.close();
  }
}
await browser.close();
if (wrong.length > 0) {
  console.error(wrong.join("\n"));
  process.exit(1);
}
console.log(`${pages.length} pages at 3 widths: nothing wrong`);
