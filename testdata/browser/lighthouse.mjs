// Holds pages of an edition against Lighthouse on its simulated phone: 100 for
// accessibility and best practices, at least 99 for performance.
//
// node lighthouse.mjs EDITION PAGE...
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join, normalize } from "node:path";
import { gzipSync } from "node:zlib";
import { launch } from "chrome-launcher";
import lighthouse from "lighthouse";
import { throttling } from "lighthouse/core/config/constants.js";

const [edition, ...pages] = process.argv.slice(2);
const wanted = { performance: 0.99, accessibility: 1, "best-practices": 1 };
// How often a page is measured before its speed counts as too low: a busy
// machine is slow now and then, a slow page always.
const tries = 5;

// The phone is this machine, four times as slow; Lighthouse means a machine of this index at least, and says of slower ones that
// the factor is to be calibrated (its docs/throttling.md: "Calibrating multipliers", 1500 to 2000 for a fast desktop).
const meant = 1500;

const types = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".json": "application/json", ".png": "image/png", ".webmanifest": "application/manifest+json" };

// A plain host of files, as most are: with gzip.
const host = createServer((request, response) => {
  const path = normalize(decodeURIComponent(new URL(request.url, "http://host").pathname));
  try {
    const body = readFileSync(join(edition, path));
    const type = types[extname(path)] ?? "application/octet-stream";
    response.writeHead(200, { "Content-Type": type, "Content-Encoding": "gzip" });
    response.end(gzipSync(body));
  } catch {
    response.writeHead(404).end();
  }
});
await new Promise((ready) => host.listen(0, "127.0.0.1", ready));

const flags = "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync";
let failed = false;
for (const page of pages) {
  let { cpuSlowdownMultiplier } = throttling.mobileSlow4G;
  for (let i = 1; i <= tries; i++) {
    const browser = await launch({ chromePath: "/usr/bin/chromium", chromeFlags: flags.split(" ") });
    const { lhr } = await lighthouse(`http://127.0.0.1:${host.address().port}/${page}`, { port: browser.port, onlyCategories: Object.keys(wanted), throttling: { ...throttling.mobileSlow4G, cpuSlowdownMultiplier } });
    browser.kill();
    const missed = Object.entries(lhr.categories).filter(([name, c]) => !(c.score >= wanted[name]));
    console.log(page, Object.entries(lhr.categories).map(([name, c]) => `${name} ${c.score}`).join(", "), `(CPU ${lhr.environment.benchmarkIndex}, ${cpuSlowdownMultiplier.toFixed(1)} times as slow)`);
    cpuSlowdownMultiplier = throttling.mobileSlow4G.cpuSlowdownMultiplier * Math.min(1, lhr.environment.benchmarkIndex / meant);
    if (!missed.length) break;
    if (i < tries && missed.every(([name]) => name === "performance")) continue;
    failed = true;
    for (const [, c] of missed) {
      for (const { id } of c.auditRefs) {
        const a = lhr.audits[id];
        if (a.score !== null && a.score < 1) console.log(`  ${id}: ${a.title} ${a.displayValue ?? ""} ${JSON.stringify(a.details?.items ?? []).slice(0, 600)}`);
      }
    }
    break;
  }
}
host.close();
process.exit(failed ? 1 : 0);
