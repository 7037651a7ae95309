// The looks at paper in `sheets.mjs` are shown pages with one fault each and must tell it, and a page without and must not:
// a check that can't fail would let every packet through.
import { chromium } from "playwright-core";
import { large, marked, onPaper, printed, upwards } from "./sheets.mjs";

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox"],
});
const STYLE = "@page{margin:13mm}body{font:11pt Arial,'Liberation Sans',sans-serif}table{width:100%;border-collapse:collapse}";
const rows = (n, tall) => `<tr><td style="height:${tall}mm">row of a table, number ${n}</td></tr>`;
const table = (n, tall) => `<table>${Array.from({ length: n }, (_, i) => rows(i, tall)).join("")}</table>`;
const words = "<p>enough words stand on the first sheet of the page that nobody can take it for one that is as good as empty, and then a few more of them to be sure.</p>";
const cases = [
  ["a page without fault", `<style>${STYLE}tr{break-inside:avoid}</style>${words}${table(12, 60)}`, null],
  // Chromium keeps a short row whole by itself; this one is taller than any sheet.
  ["a row over two sheets", `<style>${STYLE}</style>${words}${table(2, 400)}`, /tr \d+ is cut between sheets 1 and 2/],
  [
    "a row of many lines that may be cut",
    `<style>${STYLE}</style>${words}<table><tr><td>${"one more line of it<br>".repeat(30)}</td></tr><tr><td>${"a line of the second<br>".repeat(40)}</td></tr></table>`,
    /tr 1 is cut between sheets 1 and 2/,
  ],
  ["a finding over two sheets", `<style>${STYLE}</style>${words}<div class="tag" style="height:400mm">told</div>`, /div 0 is cut/],
  ["a row that is not printed", `<style>${STYLE}@media print{.gone{display:none}}</style>${words}<table class="gone"><tr><td>x</td></tr></table>`, /tr 0 is not on paper/],
  ["words at the edge", `<style>${STYLE}@page{margin:2mm}</style>${words}`, /runs into the edge/],
  ["a first sheet with its head alone", `<style>${STYLE}</style><h1>head</h1><div style="break-before:page">${words}</div>`, /sheet 1 is as good as empty/],
  [
    "the head of a table at the foot of a sheet",
    `<style>${STYLE}thead{break-after:page}</style>${words}<table><thead><tr><th>head</th></tr></thead></table><p style="break-before:page">on</p>`,
    /ends with the head of a table/,
  ],
  ["small words", `<style>${STYLE}</style>${words}<p style="font-size:6pt">small</p>`, /"small" is 6\.\d points large/],
  [
    "small words written upwards",
    `<style>${STYLE}</style>${words}<svg width="200" height="200"><text x="50" y="150" font-size="8" transform="rotate(-90 50 150)">upward</text></svg>`,
    /points large/,
  ],
  [
    "words written upwards of a size",
    `<style>${STYLE}</style>${words}<svg width="200" height="200"><text x="50" y="150" font-size="12" transform="rotate(-90 50 150)">4' 2"</text></svg>`,
    null,
  ],
];
const wrong = [];
for (const [what, html, wanted] of cases) {
  for (const format of ["Letter", "A4"]) {
    const page = await browser.newPage({ viewport: { width: 768, height: 800 } });
    await page.setContent(html);
    const things = await page.evaluate(marked);
    const turned = await page.evaluate(upwards);
    const sheets = printed(await page.pdf({ format, preferCSSPageSize: false }));
    const said = [];
    onPaper(sheets, things, (told) => said.push(told));
    if (large(sheets, turned, (told) => said.push(told)) === 0) said.push("no word was measured");
    if (wanted ? !said.some((told) => wanted.test(told)) : said.length > 0)
      wrong.push(`${what}, ${format}: told ${said.length > 0 ? said.join("; ") : "nothing"}`);
    await page.close();
  }
}
await browser.close();
if (wrong.length > 0) {
  console.error(wrong.join("\n"));
  process.exit(1);
}
console.log(`${cases.length} pages, ${cases.filter((c) => c[2]).length} with a fault: each told, and nothing else`);
