// Opens each page of a folder in Chromium and looks for what is wrong with it. Prints a line for each fault and ends
// with 1 where there is any. Before that it looks at a page that is full of faults, to be sure that it would see them.
//
//     node look.mjs CHROMIUM FOLDER
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [program, folder] = process.argv.slice(2);
// screenshots and PDF files of every page, to look at them oneself
const KEEP = Boolean(process.env.KEEP_PAGES);
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const flags = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];
const PHONE = { width: 360, height: 740 };
const DESK = { width: 1280, height: 900 };
// the width between margins of 12 mm, in CSS pixels
const PAPER = { A4: 703, Letter: 725 };

/// What is cut off or sticks out. What is hidden from the eye on purpose is no fault.
function layoutFaults() {
  const root = document.documentElement;
  const faults = [];
  if (root.scrollWidth > root.clientWidth) {
    faults.push(`scrolls sideways: ${root.scrollWidth} > ${root.clientWidth}`);
  }
  for (const element of document.body.querySelectorAll("*")) {
    if (element.closest(".cards > thead") || element.closest("svg svg, svg *")) continue;
    const style = getComputedStyle(element);
    const box = element.getBoundingClientRect();
    if (style.display === "none" || box.width === 0) continue;
    const name = `<${element.localName}> ${element.textContent.slice(0, 40)}`;
    if (box.right > root.clientWidth + 1 || box.left < -1) faults.push(`sticks out: ${name}`);
    if (element.scrollWidth > element.clientWidth + 1 && style.display !== "inline" && element.clientWidth > 0) {
      faults.push(`cut off: ${name}`);
    }
  }
  return faults.slice(0, 5);
}

async function accessibilityFaults(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  return found.violations
    .filter((fault) => ["serious", "critical"].includes(fault.impact))
    .map((fault) => `${fault.id} (${fault.impact}): ${fault.nodes[0].html.slice(0, 120)}`);
}

async function look(browser, address, pdf) {
  const page = await browser.newPage({ viewport: PHONE });
  const faults = [];
  page.on("console", (said) => {
    if (["error", "warning"].includes(said.type())) faults.push(`console: ${said.text()}`);
  });
  page.on("pageerror", (error) => faults.push(`script: ${error}`));
  page.on("dialog", (dialog) => {
    faults.push(`dialog: ${dialog.message()}`);
    return dialog.dismiss();
  });
  page.on("request", (request) => {
    if (request.url() !== address) faults.push(`asks for ${request.url()}`);
  });
  const note = (where, found) => faults.push(...found.map((fault) => `${where}: ${fault}`));
  await page.goto(address);
  note("phone", await page.evaluate(layoutFaults));
  note("phone", await accessibilityFaults(page));
  if (pdf) await page.screenshot({ path: pdf.replace(".pdf", "-phone.png"), fullPage: true });
  await page.setViewportSize(DESK);
  note("desk", await page.evaluate(layoutFaults));
  note("desk", await accessibilityFaults(page));
  if (pdf) await page.screenshot({ path: pdf.replace(".pdf", "-desk.png"), fullPage: true });
  const sheets = await page.locator("article").count();
  await page.emulateMedia({ media: "print" });
  for (const [format, width] of Object.entries(PAPER)) {
    await page.setViewportSize({ width, height: 1000 });
    note(format, await page.evaluate(layoutFaults));
    const made = await page.pdf({ format });
    const pages = made.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
    if (pages < sheets) faults.push(`${format}: ${sheets} sheets on ${pages} pages`);
    if (pdf) writeFileSync(pdf.replace(".pdf", `-${format}.pdf`), made);
  }
  await page.close();
  return faults;
}

const BAD = `<!DOCTYPE html><html><head><meta http-equiv="Content-Security-Policy" content="default-src 'none'"></head>
<body><img src="x.png"><div style="width:900px">wide</div><p><span style="display:block;overflow:hidden;width:20px;
white-space:nowrap">cut off here</span></p><script>alert(1)</script></body></html>`;

const browser = await chromium.launch({ executablePath: program, args: flags });
try {
  const bad = join(folder, "..", "bad.html");
  writeFileSync(bad, BAD);
  const seen = (await look(browser, pathToFileURL(bad).href)).join("\n");
  // the page's own style is forbidden there, so that only some of it can be seen; the rest by a page without a policy
  const loose = BAD.replace(/<meta[^>]*>/, "");
  writeFileSync(bad, loose);
  const seenLoose = (await look(browser, pathToFileURL(bad).href)).join("\n");
  for (const [where, word] of [
    [seen, "console: "],
    [seenLoose, "phone: scrolls sideways"],
    [seenLoose, "phone: cut off: <span>"],
    [seenLoose, "dialog: 1"],
    [seenLoose, "asks for "],
    [seenLoose, "image-alt (critical)"],
  ]) {
    if (!where.includes(word)) throw new Error(`the looker does not see ${word}: ${where}`);
  }

  const names = readdirSync(folder).filter((name) => name.endsWith(".html")).sort();
  let wrong = 0;
  for (const name of names) {
    const file = join(folder, name);
    const faults = await look(browser, pathToFileURL(file).href, KEEP && file.replace(".html", ".pdf"));
    for (const fault of faults) console.log(`${name}: ${fault}`);
    wrong += faults.length;
  }
  if (wrong === 0) console.log(`${names.length} pages without fault`);
  process.exitCode = wrong === 0 ? 0 : 1;
} finally {
  await browser.close();
}
