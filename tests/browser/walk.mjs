// Drives the walk page from a file: a tap names a part, the slider covers the walls, the steps step, nothing is asked for.
import { chromium } from "playwright-core";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const file = pathToFileURL(resolve(process.argv[2], "walk.html")).href;
const pictures = process.argv[3];
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"],
});
const wrong = [];
for (const [width, height] of [[360, 740], [1280, 800]]) {
  const page = await browser.newPage({ viewport: { width, height }, hasTouch: width < 500, reducedMotion: "reduce" });
  const said = (what) => wrong.push(`walk.html at ${width}: ${what}`);
  page.on("console", (message) => message.type() === "error" && said(`console: ${message.text()}`));
  page.on("pageerror", (error) => said(`error: ${error.message}`));
  page.on("request", (request) => {
    const url = request.url();
    if (!/^(data|blob):/.test(url) && url !== file) said(`asks for ${url}`);
  });
  await page.goto(file);
  await page.waitForFunction(() => document.body.dataset.ready === "yes", null, { timeout: 60000 });
  const show = async (name) => pictures && page.screenshot({ path: resolve(pictures, `walk-${width}-${name}.png`) });
  await page.waitForTimeout(300);
  await show("house");
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (over > 0) said(`scrolls ${over} px sideways`);
  for (const name of ["#back", "#next", "#stops"]) {
    const box = await page.locator(name).boundingBox();
    if (!box || box.height < 44) said(`${name} is too small for a thumb`);
  }

  // Of all the parts of a stop, at least one must be where a tap names it.
  const count = await page.locator("#stops option").count();
  let named = null;
  for (let i = 1; i < count && !named; i += 1) {
    await page.locator("#next").click();
    const parts = await page.evaluate(() => {
      const stop = JSON.parse(document.getElementById("walk").textContent).stops[Number(document.getElementById("stops").value)];
      return stop.parts;
    });
    for (const part of parts) {
      const at = await page.evaluate((name) => window.truefallScreenOf(name), part);
      const frame = await page.locator("#view canvas").boundingBox();
      if (!at || at.z > 1 || at.x < frame.x || at.x > frame.x + frame.width || at.y < frame.y || at.y > frame.y + frame.height) continue;
      if (width < 500) await page.touchscreen.tap(at.x, at.y);
      else await page.mouse.click(at.x, at.y);
      const card = page.locator("#card");
      if (!(await card.isVisible())) continue;
      const words = await card.innerText();
      if (words.includes(part) && /rough/.test(words)) {
        named = words;
        await show("tapped");
        break;
      }
      await page.locator("#card-close").click();
    }
  }
  if (!named) said("no tap named a part with its heights");

  const pixels = () => page.locator("#view canvas").screenshot();
  if (named) await page.locator("#card-close").click();
  const open = await pixels();
  await page.locator("#through").uncheck();
  await page.locator("#cover").fill("100");
  await page.waitForTimeout(300);
  const closed = await pixels();
  await show("closed");
  if (open.equals(closed)) said("closing the walls changes nothing");
  await page.locator("#through").check();
  await page.waitForTimeout(300);
  const through = await pixels();
  await show("through");
  if (through.equals(closed)) said("keeping pipes in sight changes nothing");
  const words = await page.locator("#cover-words").innerText();
  if (words !== "closed walls") said(`the slider says ${words}`);

  const finding = page.locator("[data-finding]").first();
  if (await finding.count()) {
    await finding.click();
    if (!(await page.locator("#card").isVisible())) said("a finding tells nothing");
    await page.waitForTimeout(300);
    await page.evaluate(() => document.getElementById("sheet").scrollTo(0, 0));
    await show("finding");
  }
  await page.close();
}
await browser.close();
if (wrong.length > 0) {
  console.error(wrong.join("\n"));
  process.exit(1);
}
console.log("the walk page: nothing wrong");
