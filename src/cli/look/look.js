"use strict";
// Follows the slider and the book, sorts and searches lists, copies commands. Every page reads without it.

const content = () => document.getElementById("content");

// Takes the content of another address over into this page; later answers win over earlier ones.
let asked = 0;
async function take(address, keep) {
  const mine = ++asked;
  try {
    const answer = await fetch(address, { headers: { accept: "text/html" } });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine !== asked) return;
    const focused = document.activeElement && document.activeElement.id;
    const open = new Set([...document.querySelectorAll("details")].flatMap((one, i) => (one.open ? [i] : [])));
    content().replaceWith(page.getElementById("content"));
    document.getElementById("banner").replaceWith(page.getElementById("banner"));
    document.querySelector(".plant").replaceWith(page.querySelector(".plant"));
    document.body.dataset.plan = page.body.dataset.plan;
    document.title = page.title;
    if (keep) document.querySelectorAll("details").forEach((one, i) => (one.open = open.has(i)));
    prepare();
    if (focused) document.getElementById(focused)?.focus();
  } catch {
    // The program has been stopped: what is shown stays.
  }
}

// The slider shows each move as it is passed.
function follow() {
  const slider = document.querySelector("input[data-follow]");
  if (!slider) return;
  slider.form.querySelector("button").hidden = true;
  slider.addEventListener("input", () => {
    const address = "/?" + new URLSearchParams(new FormData(slider.form));
    history.replaceState(null, "", address);
    take(address, true);
  });
}

// Lists: a button in each heading sorts, a field above searches. Numbers sort as numbers, times as they stand in the row.
const weekdays = /^(Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d+) (\w{3})(?: (\d\d):(\d\d))?/;
const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
function key(text) {
  const time = weekdays.exec(text);
  if (time) return [1, months.indexOf(time[3]) * 44640 + time[2] * 1440 + (time[4] || 0) * 60 + +(time[5] || 0), text];
  const number = /^-?\d+(\.\d+)?/.exec(text);
  return number ? [1, parseFloat(number[0]), text] : [2, 0, text];
}
function compare(one, other) {
  return one[0] - other[0] || one[1] - other[1] || one[2].localeCompare(other[2], undefined, { numeric: true });
}
function sortable(table) {
  const body = table.tBodies[0];
  const headings = [...table.tHead.rows[0].cells];
  if (!body || body.rows.length < 2) return;
  headings.forEach((heading, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = heading.textContent;
    heading.replaceChildren(button);
    button.addEventListener("click", () => {
      const down = heading.getAttribute("aria-sort") === "ascending";
      headings.forEach((other) => other.removeAttribute("aria-sort"));
      heading.setAttribute("aria-sort", down ? "descending" : "ascending");
      const rows = [...body.rows].map((row) => [key(row.cells[column]?.textContent.trim() ?? ""), row]);
      rows.sort((one, other) => (down ? -1 : 1) * compare(one[0], other[0]));
      body.replaceChildren(...rows.map(([, row]) => row));
    });
  });
  if (body.rows.length < 10) return;
  const field = document.createElement("input");
  field.type = "search";
  field.placeholder = `search these ${body.rows.length} lines`;
  field.setAttribute("aria-label", field.placeholder);
  field.addEventListener("input", () => {
    const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const row of body.rows) row.hidden = !words.every((word) => row.textContent.toLowerCase().includes(word));
  });
  table.closest(".scroll").before(field);
}

function copies() {
  for (const button of document.querySelectorAll("button[data-copy]")) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      const text = document.getElementById(button.dataset.copy);
      try {
        await navigator.clipboard.writeText(text.textContent);
        button.textContent = "copied";
      } catch {
        getSelection().selectAllChildren(text);
      }
    });
  }
}

// The search field shows what it finds while one types, on the page of what was found.
function searches() {
  const field = document.getElementById("words");
  if (!field || field.dataset.ready) return;
  field.dataset.ready = "1";
  let wait;
  field.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(() => {
      if (!field.value.trim()) return;
      const address = "/find?" + new URLSearchParams({ words: field.value });
      if (location.pathname === "/find") history.replaceState(null, "", address);
      else history.pushState(null, "", address);
      take(address, false);
    }, 150);
  });
}

function prepare() {
  follow();
  copies();
  document.querySelectorAll("table.list").forEach(sortable);
}

// When there is another plan, the page follows; what somebody has typed or chosen for a trial stays.
async function watch() {
  try {
    const state = await (await fetch("/state")).json();
    const other = String(state.number) !== document.body.dataset.plan;
    const again = document.querySelector("[data-again]");
    if ((other || again) && !["/try", "/cell"].includes(location.pathname)) await take(location.href, true);
  } catch {
    // The program has been stopped.
  }
  setTimeout(watch, 1000);
}

addEventListener("popstate", () => take(location.href, false));
prepare();
searches();
watch();
