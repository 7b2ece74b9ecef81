// node check.mjs CHROMIUM PAGE...: each page is valid HTML (html-validate, "standard" rules), has no fault that axe-core
// finds (WCAG 2.2 A and AA, and its best practices) in light and dark, asks for nothing from outside, holds no
// script, and needs no scrolling to the side at 360 and 320 CSS pixels (WCAG 2.2, 1.4.10).
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import { chromium } from "playwright-core";

const [executablePath, ...pages] = process.argv.slice(2);
const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
let faults = 0;
let checks = 0;

function fault(page, what) {
    faults += 1;
    console.log(`${page}: ${what}`);
}

const validator = new HtmlValidate({
    root: true,
    extends: ["html-validate:standard"],
});

async function validate(page) {
    const report = await validator.validateString(readFileSync(page, "utf8"));
    checks += 1;
    for (const result of report.results) {
        for (const message of result.messages) {
            fault(page, `${message.line}:${message.column}: ${message.ruleId}: ${message.message}`);
        }
    }
}

async function look(browser, page) {
    if (/<script|javascript:|\son[a-z]+=/i.test(readFileSync(page, "utf8"))) {
        fault(page, "holds a script");
    }
    for (const [colorScheme, width] of [["light", 1200], ["dark", 360]]) {
        const context = await browser.newContext({ colorScheme, viewport: { width, height: 800 } });
        const tab = await context.newPage();
        tab.on("request", (request) => {
            if (request.url() !== pathToFileURL(page).href) {
                fault(page, `asks for ${request.url()}`);
            }
        });
        await tab.goto(pathToFileURL(page).href);
        for (const narrow of width === 360 ? [320, 360] : []) {
            await tab.setViewportSize({ width: narrow, height: 800 });
            const widest = await tab.evaluate(() => document.documentElement.scrollWidth);
            checks += 1;
            if (widest > narrow) {
                fault(page, `is ${widest} px wide on a screen of ${narrow} px`);
            }
        }
        await tab.evaluate(axeSource);
        const result = await tab.evaluate(() => window.axe.run());
        checks += 1;
        for (const violation of result.violations) {
            const where = violation.nodes.map((node) => node.target.join(" ")).slice(0, 3);
            fault(page, `${colorScheme}, ${width} px: ${violation.id}: ${violation.help} (${where.join("; ")})`);
        }
        await context.close();
    }
}

const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
try {
    for (const page of pages) {
        await validate(page);
        await look(browser, page);
    }
} finally {
    await browser.close();
}
console.log(`${pages.length} pages, ${checks} checks, ${faults} faults`);
process.exit(faults === 0 && pages.length > 0 ? 0 : 1);
