// A desk of its own for each test, and a page on it.
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

const { CALLOVER, JOB, CHROMIUM } = process.env;

export const launch = () => chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--autoplay-policy=no-user-gesture-required"] });

// Starts the program on a job of these words, beside any others given.
export async function deskOf(...texts) {
  const folder = mkdtempSync(join(tmpdir(), "words-"));
  const jobs = texts.map((text, at) => {
    const [file, job] = [join(folder, `${at}.txt`), join(folder, `${at}.job`)];
    writeFileSync(file, text);
    return { file, job };
  });
  for (const { file, job } of jobs) {
    const child = spawn(CALLOVER, ["take", file, "--job", job, "--quiet"], { stdio: "ignore" });
    await new Promise((done) => child.once("exit", done));
  }
  const running = await start(jobs[0].job);
  const end = () => {
    running.child.kill();
    rmSync(folder, { recursive: true, force: true });
  };
  return { ...running, jobs: jobs.map(({ job }) => job), end };
}

// Starts the program on a copy of the job.
export async function desk(from = JOB) {
  const folder = mkdtempSync(join(tmpdir(), "desk-"));
  const job = join(folder, "plot.job");
  cpSync(from, job, { recursive: true });
  const { child, address } = await start(job);
  const end = () => {
    child.kill();
    rmSync(folder, { recursive: true, force: true });
  };
  return { address, job, end };
}

async function start(job) {
  const child = spawn(CALLOVER, ["desk", job], { stdio: ["ignore", "pipe", "ignore"] });
  const address = await new Promise((found, lost) => {
    child.stdout.once("data", (line) => found(String(line).trim()));
    child.once("exit", () => lost(new Error("the desk ended")));
  });
  return { child, address, job };
}

// Opens a page that is ready to be worked with, and collects what goes wrong in it.
export async function open(browser, address, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1400, height: 900 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  page.trouble = [];
  page.asked = [];
  page.on("pageerror", (error) => page.trouble.push(String(error)));
  // A refused request is the program's answer, which the page shows; everything else is a fault.
  page.on("console", (message) => message.type() === "error" && !message.text().startsWith("Failed to load resource") && page.trouble.push(message.text()));
  page.on("request", (request) => page.asked.push(request.url()));
  await page.goto(address);
  await page.waitForSelector("body[data-ready]");
  return page;
}

// Runs the program in the terminal on the same job.
export function terminal(job, commands) {
  const child = spawn(CALLOVER, ["confirm", job, "--plain"], { stdio: ["pipe", "ignore", "ignore"] });
  child.stdin.end(commands);
  return new Promise((done) => child.once("exit", done));
}

// Hears a later visit from the example's words.
export function recheck(job) {
  const words = new URL("../../examples/plot-seven-second-visit.txt", import.meta.url).pathname;
  const child = spawn(CALLOVER, ["recheck", job, words, "--date", "2026-04-03"], { stdio: "ignore" });
  return new Promise((done) => child.once("exit", done));
}

export const row = (page, number) => page.locator(`.item[data-number="${number}"]`);
export const told = (page) => page.locator("#told").textContent();
