// Reads the books of built designs with an HTML validator, a browser and an auditor of accessibility.
//
//     npm install --prefix TOOLS html-validate axe-core playwright-core
//     NODE_PATH=TOOLS/node_modules node tests/oracle/book.cjs CHROMIUM FOLDER ...
//
// FOLDER is what `slatwork build ... --out FOLDER` wrote. Each book and each owner's sheet must be valid HTML, open from the disk
// without a word on the console or a request, have no violation of accessibility, no text wider than its page, and fit what it
// promises to fit: the owner's sheet two pages. The piece must turn, tell its parts and grow by its steps where there is WebGL,
// and be drawn where there is none, or no scripts. Prints a line a file; each trouble is told, and any makes the exit code 1.
"use strict";
const fs = require("node:fs");
const path = require("node:path");
const { pathToFileURL } = require("node:url");
const { HtmlValidate } = require("html-validate");
const { chromium } = require("playwright-core");
const AXE = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

// What the standard asks; long lines and the order of attributes are nobody's business.
const validator = new HtmlValidate({
  extends: ["html-validate:standard", "html-validate:a11y"],
  rules: { "long-title": "off", "require-sri": "off", "no-inline-style": "error", "no-dup-id": "error" },
});

async function valid(file) {
  const report = await validator.validateFile(file);
  return report.results.flatMap((result) => result.messages)
    .map((own) => `line ${own.line}, column ${own.column}: ${own.ruleId}: ${own.message}`);
}

async function open(browser, file, options, faults) {
  const context = await browser.newContext({ viewport: { width: 1200, height: 900 }, ...options });
  const page = await context.newPage();
  page.on("console", (message) => faults.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => faults.push(`script: ${error.message}`));
  const url = pathToFileURL(file).href;
  page.on("request", (request) => { if (request.url() !== url) faults.push(`asks for ${request.url()}`); });
  await page.goto(url);
  return page;
}

async function accessible(page, faults) {
  // The page itself runs no script but its own; the auditor comes in past its policy.
  const session = await page.context().newCDPSession(page);
  await session.send("Page.enable");
  await session.send("Runtime.evaluate", { expression: AXE });
  const answer = await session.send("Runtime.evaluate", {
    expression: `axe.run(document, { resultTypes: ["violations"] }).then((found) => JSON.stringify(found.violations
      .map((own) => own.id + ": " + own.nodes.slice(0, 3).map((node) => node.target.join(" ")).join("; "))))`,
    awaitPromise: true,
    returnByValue: true,
  });
  if (answer.exceptionDetails) faults.push(`the audit failed: ${answer.exceptionDetails.text}`);
  else faults.push(...JSON.parse(answer.result.value).map((own) => `accessibility: ${own}`));
}

// As wide as the text of an upright page of Letter or A4 with its margins, whichever is narrower.
const COLUMN = Math.floor((186 / 25.4) * 96);

async function printed(page, faults) {
  await page.setViewportSize({ width: COLUMN, height: 900 });
  await page.emulateMedia({ media: "print" });
  const wide = await page.evaluate(() => [...document.querySelectorAll("section *")]
    .filter((own) => !own.closest("svg, .model, math, .whole") && own.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
    .map((own) => `${own.tagName}: ${own.textContent.slice(0, 40)}`).slice(0, 5));
  faults.push(...wide.map((own) => `wider than its page: ${own}`));
  await page.emulateMedia({ media: null });
  await page.setViewportSize({ width: 1200, height: 900 });
}

async function pages(page) {
  const file = await page.pdf({ preferCSSPageSize: true });
  return [...file.toString("latin1").matchAll(/\/Type\s*\/Page\b/g)].length;
}

// How many colours stand on the canvas: one or two where nothing is drawn.
async function colours(page, canvas) {
  await page.waitForTimeout(300);
  const shot = (await canvas.screenshot()).toString("base64");
  return page.evaluate(async (shot) => {
    const bytes = Uint8Array.from(atob(shot), (c) => c.charCodeAt(0));
    const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
    const board = new OffscreenCanvas(image.width, image.height).getContext("2d");
    board.drawImage(image, 0, 0);
    const data = board.getImageData(0, 0, image.width, image.height).data, seen = new Set();
    for (let i = 0; i < data.length; i += 4) seen.add((data[i] >> 3 << 10) | (data[i + 1] >> 3 << 5) | (data[i + 2] >> 3));
    return seen.size;
  }, shot);
}

async function turns(page, faults) {
  const canvas = page.locator(".model canvas"), told = page.locator(".model .told");
  if (!(await canvas.isVisible())) return faults.push("nothing can be turned");
  if (await page.locator(".model .still").isVisible()) faults.push("the drawing stands beside what turns");
  await canvas.scrollIntoViewIfNeeded();
  const whole = await colours(page, canvas);
  if (whole < 6) faults.push(`only ${whole} colours are drawn`);
  const before = await canvas.screenshot();
  await canvas.focus();
  for (const key of ["ArrowLeft", "ArrowUp", "+"]) await page.keyboard.press(key);
  await page.waitForTimeout(200);
  if (before.equals(await canvas.screenshot())) faults.push("keys do not turn it");
  await page.keyboard.press("Home");
  // Points over the middle: one of them meets a part.
  const box = await canvas.boundingBox();
  let name = "";
  for (const share of [0.5, 0.45, 0.55, 0.6, 0.4]) {
    await page.mouse.click(box.x + box.width * 0.5, box.y + box.height * share);
    name = name || (await told.textContent());
  }
  if (!name) faults.push("no part tells its name");
  const slider = page.locator(".model input[type=range]");
  await slider.fill("0");
  const none = await colours(page, canvas);
  if (none >= whole) faults.push(`before the first step ${none} colours are drawn`);
  await slider.fill("1");
  if (!(await page.locator(".model output").textContent()).startsWith("1 of ")) faults.push("steps are not told");
  const names = await page.locator(".model select option").count();
  if (names < 3) faults.push("parts are not listed");
}

async function without(browser, file, options, what, faults) {
  const page = await open(browser, file, options, faults);
  const drawn = await page.locator(".model .still svg").isVisible(), live = await page.locator(".model .live").isVisible();
  if (!drawn || live) faults.push(`without ${what} the drawing does not stand in its place`);
  await page.context().close();
}

async function read(browsers, file) {
  const faults = (await valid(file)).slice(0, 12);
  const page = await open(browsers.usual, file, {}, faults);
  await accessible(page, faults);
  const isBook = path.basename(file) === "book.html";
  if (isBook) await turns(page, faults);
  await printed(page, faults);
  const count = await pages(page);
  if (!isBook && count !== 2) faults.push(`${count} pages where two are promised`);
  await page.context().close();
  if (isBook) {
    await without(browsers.usual, file, { javaScriptEnabled: false }, "scripts", faults);
    await without(browsers.flat, file, {}, "WebGL", faults);
  }
  return { faults, count };
}

async function main([browser, ...folders]) {
  const launch = (...more) => chromium.launch({ executablePath: browser, args: ["--no-sandbox", ...more] });
  const browsers = {
    usual: await launch("--use-angle=swiftshader", "--enable-unsafe-swiftshader"),
    flat: await launch("--disable-3d-apis"),
  };
  let failed = folders.length === 0;
  for (const folder of folders) {
    for (const name of ["book.html", "owner.html"]) {
      const file = path.join(folder, name);
      const { faults, count } = await read(browsers, file);
      console.log(`${file}: ${count} pages, ${faults.length === 0 ? "fine" : `${faults.length} faults`}`);
      faults.forEach((fault) => console.log(`    ${fault}`));
      failed = failed || faults.length > 0;
    }
  }
  await browsers.usual.close();
  await browsers.flat.close();
  process.exitCode = failed ? 1 : 0;
}

main(process.argv.slice(2)).catch((error) => { console.error(error); process.exitCode = 1; });
