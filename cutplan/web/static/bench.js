"use strict";
/* What pages do beyond forms and links: ticks that wait while the network is away, and searches that tell how far they are. */

document.documentElement.classList.add("scripted");

const listening = document.querySelector("[data-events]");
if (listening) {
  const events = new EventSource(listening.dataset.events);
  events.onmessage = (event) => {
    const now = JSON.parse(event.data);
    listening.querySelector(".doing").textContent = now.doing;
    if (now.done) { events.close(); location.reload(); }
  };
}

/* Letters of a finding at its cell; the whole of a longer one stands below the list. */
const LONGEST_WHY = 120;
/* Before what stops no plan. */
const WARNING = "warning: ";
const list = document.querySelector("[data-check]");
if (list) {
  asTyped(list);
  showWrong(list);
}

/* Of a grid wider than its screen the part with the first cell that is wrong is shown. */
function showWrong(list) {
  const wrong = list.querySelector("[aria-invalid]"), box = list.querySelector(".scroll");
  if (!wrong || !box) return;
  const cell = wrong.getBoundingClientRect(), round = box.getBoundingClientRect();
  if (cell.right > round.right) box.scrollLeft += cell.right - round.right;
}

function asTyped(list) {
  let timer = 0, asked = 0;
  async function check() {
    const mine = ++asked;
    const body = new URLSearchParams(new FormData(list));
    body.set("what", "check");
    let found, drawn, told;
    try { ({ found, drawn, told } = await (await fetch(list.dataset.check, { method: "POST", body })).json()); } catch { return; }
    if (mine !== asked) return;
    for (const place of list.querySelectorAll(".drawn")) place.innerHTML = drawn[place.dataset.row] || "";
    for (const why of list.querySelectorAll(".why")) why.remove();
    for (const cell of list.querySelectorAll("[aria-describedby]")) {
      cell.removeAttribute("aria-invalid");
      cell.removeAttribute("aria-describedby");
      cell.classList.remove("warned");
    }
    const rest = document.createElement("ul");
    rest.className = "problems";
    for (const [number, one] of found.entries()) {
      const cell = list.elements["c" + one.row + "-" + one.column];
      const text = one.found + (one.accepted ? ": " + one.accepted : "") + (one.hint ? ". " + one.hint : "");
      if (cell) {
        if (one.stops) cell.setAttribute("aria-invalid", "true");
        else cell.classList.add("warned");
        const why = document.createElement("span");
        why.className = one.stops ? "why" : "why mild";
        why.id = "why" + number;
        cell.setAttribute("aria-describedby", [cell.getAttribute("aria-describedby"), why.id].filter(Boolean).join(" "));
        why.textContent = (one.stops ? "" : WARNING) + (text.length > LONGEST_WHY ? text.slice(0, LONGEST_WHY) + "..." : text);
        cell.after(why);
      }
      if (!cell || text.length > LONGEST_WHY) {
        const line = document.createElement("li");
        if (!one.stops) line.className = "mild";
        line.textContent = (one.stops ? "" : WARNING) + one.where + ": " + text;
        rest.append(line);
      }
    }
    document.getElementById("found").replaceChildren(rest);
    const sound = document.getElementById("sound"); // not there where a list was changed by somebody else
    if (sound) sound.textContent = told;
  }
  list.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(check, 250); });
  /* Typed before this was there, or put back by the browser when somebody comes back to the page. */
  if ([...list.elements].some((field) => "defaultValue" in field && field.value !== field.defaultValue)) check();
}

/* So long after a tick the next one is not taken: a glove taps twice. [ms] */
const TAPS_TWICE = 600;
const CHANGED = "The plan was changed. Open the page anew before the next part.";
const BEFORE = "The plan was changed while ticks waited here: tick what is cut by hand.";
const UNANSWERED = {
  403: "Type the PIN: open the page anew.",
  404: "This job is no longer here.",
  503: "The rack is busy with another program.",
};

/* At the saw a screen is a bar and its parts are cut; at the drill it is a card, and the same parts are drilled. What
   differs stands in the page: the words, the steps that are sent, and where to. */
const saw = document.getElementById("saw");
if (saw && saw.dataset.recorded === "0") atTheSaw(saw);

function atTheSaw(saw) {
  const job = saw.dataset.job, plan = saw.dataset.plan;
  const { done, undone, screen } = saw.dataset;
  const store = "cutplan " + (done === "cut" ? "" : done + " ") + job + " " + plan;
  const bars = [...saw.querySelectorAll("section.bar")];
  const by = (id) => document.getElementById(id);
  const foot = by("foot"), good = by("good"), bad = by("bad"), undo = by("undo");
  const waiting = by("waiting"), notice = by("notice"), spoil = by("spoil"), came = by("came");
  const cuts = new Map();
  for (const bar of bars) {
    bar.cuts = [...bar.querySelectorAll("article.cut")].map((card) => ({
      key: card.dataset.key, mark: card.dataset.mark, copy: card.dataset.copy, bar: bar.dataset.number, card,
    }));
    for (const cut of bar.cuts) cuts.set(cut.key, cut);
  }
  const puts = [...saw.querySelectorAll("form.away")];
  const barOf = (form) => form.elements.bar.value;
  let there = { cut: new Set(), spoiled: new Set() };
  there.away = new Set(puts.filter((form) => !form.querySelector(".kept").hidden).map(barOf));
  for (const line of saw.querySelectorAll(".coming li[data-ticked]"))
    there[line.dataset.ticked].add(line.dataset.key);
  let queue = kept(), lost = ofPlansBefore();
  let shown = saw.dataset.bar, stopped = false, over = false, sending = false, offline = false, why = "", leaving = "";

  function kept(key = store) {
    try { return JSON.parse(localStorage.getItem(key)) || []; } catch { return []; }
  }
  /* Where ticks are kept that waited when the plan was made anew. */
  function ofPlansBefore() {
    const job = store.slice(0, -plan.length);
    const older = (key) => key !== store && key.startsWith(job) && !key.includes(" ", job.length);
    try { return Object.keys(localStorage).filter(older); } catch { return []; }
  }
  function notTaken(ticks) {
    const marks = ticks.filter((one) => one.step).map((one) => one.part + " copy " + one.copy + " " + one.step);
    return marks.length ? " Not taken: " + [...new Set(marks)].join(", ") + "." : "";
  }
  function keep() {
    try { localStorage.setItem(store, JSON.stringify(queue)); } catch { /* a private window keeps nothing */ }
  }
  function ownId() {
    // randomUUID is not there on a page over plain http.
    return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  }
  function now() {
    const cut = new Set(there.cut), spoiled = new Set(there.spoiled);
    for (const one of queue.filter((each) => each.step)) {
      const key = one.part + "/" + one.copy;
      cut.delete(key); spoiled.delete(key);
      if (one.step === done) cut.add(key);
      if (one.step === "spoiled") spoiled.add(key);
    }
    return { cut, spoiled, has: (key) => cut.has(key) || spoiled.has(key) };
  }
  function current() {
    const state = now();
    const bar = bars.find((each) => each.dataset.number === shown) || bars[0];
    return { bar, state, cut: bar.cuts.find((each) => !state.has(each.key)) };
  }
  function draw() {
    const { bar, state, cut } = current();
    for (const each of bars) each.hidden = each !== bar;
    bar.querySelector(".count").textContent =
      bar.cuts.filter((each) => state.has(each.key)).length + " of " + bar.cuts.length + " " + done;
    for (const one of bar.querySelectorAll(".strip [data-key]")) {
      const key = one.dataset.key;
      one.classList.toggle("cut", key !== "" && state.has(key));
      one.classList.toggle("spoiled", state.spoiled.has(key));
      one.classList.toggle("now", cut !== undefined && key === cut.key);
    }
    for (const each of bar.cuts) each.card.hidden = each !== cut;
    const rest = bar.querySelector("article.left"), figure = rest.querySelector("[data-planned]");
    rest.hidden = cut !== undefined;
    if (figure && there.left) {
      figure.textContent = there.left[bar.dataset.number] || figure.dataset.planned;
      figure.className = "figure f" + (figure.textContent.length + 2);
      const otherwise = bar.dataset.number in there.left;
      rest.querySelector("[data-as-planned]").hidden = otherwise;
      rest.querySelector("[data-otherwise]").hidden = !otherwise;
    }
    for (const form of puts) form.querySelector(".kept").hidden = !there.away.has(barOf(form));
    for (const line of bar.querySelectorAll(".coming li"))
      line.hidden = state.has(line.dataset.key) || (cut !== undefined && line.dataset.key === cut.key);
    foot.hidden = over;
    for (const form of puts) form.hidden = over;
    if (bad) bad.hidden = cut === undefined;
    const next = bars.find((each) => each.cuts.some((one) => !state.has(one.key)));
    const on = next ? next.dataset.number : saw.dataset.beyond;
    good.textContent = cut ? cut.mark + " is " + done : on ? screen + " " + on : "All is " + done;
    const last = bar.cuts.filter((each) => state.has(each.key)).pop();
    undo.hidden = last === undefined;
    undo.textContent = last ? "Take back " + last.mark : "";
    bar.classList.toggle("begun", last !== undefined);
    const wait = queue.length + (queue.length === 1 ? " tick waits" : " ticks wait");
    waiting.hidden = !offline || (queue.length === 0 && !why);
    waiting.textContent = !why ? wait + " for the network" : queue.length ? why + " " + wait + "." : why;
  }
  function show(number) {
    if (!bars.some((each) => each.dataset.number === number)) return false;
    shown = number;
    history.replaceState(null, "", "?bar=" + number);
    window.scrollTo(0, 0);
    draw();
    return true;
  }
  function say(text) { notice.textContent = text; notice.hidden = !text; }
  function putInLine(one) {
    if (stopped) return; // what it says of the plan stays there, and nothing waits for a plan that is no more
    for (const key of lost.splice(0)) localStorage.removeItem(key);
    queue.push({ id: ownId(), plan, ...one });
    keep(); say(""); draw(); send();
  }
  function tick(cut, step, measured) {
    putInLine({ step, part: cut.mark, copy: cut.copy, bar: cut.bar, measured: measured || "" });
    for (const one of [good, undo]) one.setAttribute("aria-disabled", "true");
    setTimeout(() => { for (const one of [good, undo]) one.removeAttribute("aria-disabled"); }, TAPS_TWICE);
  }
  for (const form of puts) form.onsubmit = (event) => {
    event.preventDefault();
    const { measured, place } = form.elements;
    there.away.delete(barOf(form));
    putInLine({ to: "/away", bar: barOf(form), measured: measured.value, place: place.value });
  };
  function tapped(button, deed) {
    button.onclick = () => { if (!button.hasAttribute("aria-disabled")) deed(); };
  }
  async function ask(address, body) {
    const headers = { "accept": "application/json" };
    if (body) headers["content-type"] = "application/json";
    const away = new AbortController();
    const timer = setTimeout(() => away.abort(), 8000);
    try {
      const answer = await fetch(address, {
        method: body ? "POST" : "GET", headers, body: body && JSON.stringify(body), signal: away.signal,
      });
      if (answer.status >= 500 || answer.status in UNANSWERED)
        throw new Error("not answered", { cause: UNANSWERED[answer.status] });
      return { ok: answer.ok, another: answer.status === 409, values: await answer.json() };
    } finally { clearTimeout(timer); }
  }
  function take(values) {
    if (values.plan !== plan) return changed();
    if (values.recorded) { stopped = true; over = true; say(saw.dataset.over); }
    there = { cut: new Set(values[done]), spoiled: new Set(values.spoiled), left: values.left };
    there.away = new Set((values.away || []).map(String));
  }
  function changed() { stopped = true; say(CHANGED + notTaken(queue)); }
  async function send() {
    if (sending || stopped) return;
    sending = true;
    try {
      while (queue.length && !stopped) {
        const one = queue[0];
        const { ok, another, values } = await ask(job + (one.to || saw.dataset.sends), one);
        offline = false;
        if (another) { changed(); break; }
        queue = queue.filter((each) => each.id !== one.id);
        keep();
        if (ok) take(values);
        else say(values.problems.map((each) => each.found + ". " + each.accepted).join(" "));
      }
    } catch (wrong) { unanswered(wrong); }
    sending = false;
    draw();
    if (leaving && !queue.length) leave();
  }
  function unanswered(wrong) { offline = true; why = wrong.cause || ""; }
  function leave() { location.assign(leaving); }
  async function look() {
    if (!stopped) {
      if (queue.length) await send();
      else try {
        const { ok, values } = await ask(job + saw.dataset.state);
        offline = false;
        if (ok && !queue.length) take(values);
        draw();
      } catch (wrong) { unanswered(wrong); draw(); }
    }
    setTimeout(look, 1000);
  }
  tapped(good, () => {
    const { state, cut } = current();
    leaving = "";
    if (cut) return tick(cut, done);
    const next = bars.find((each) => each.cuts.some((one) => !state.has(one.key)));
    if (next) return show(next.dataset.number);
    leaving = saw.dataset.beyond ? "?bar=" + saw.dataset.beyond : saw.dataset.end;
    if (queue.length) send(); else leave();
  });
  if (bad) spoils();
  function spoils() {
    bad.onclick = () => {
      const { cut } = current();
      if (!cut) return;
      by("spoil-of").textContent = cut.mark + " is spoiled";
      came.value = "";
      spoil.hidden = false;
      came.focus();
    };
    by("not-spoiled").onclick = () => { spoil.hidden = true; bad.focus(); };
    spoil.querySelector("form").onsubmit = (event) => {
      event.preventDefault();
      const { cut } = current();
      spoil.hidden = true;
      if (cut) tick(cut, "spoiled", came.value.trim() || "0");
    };
    spoil.onkeydown = (event) => { if (event.key === "Escape") spoil.hidden = true; };
  }
  tapped(undo, () => {
    const { bar, state } = current();
    const last = bar.cuts.filter((each) => state.has(each.key)).pop();
    if (last) tick(last, undone);
  });
  saw.addEventListener("click", (event) => {
    const to = event.target.closest("[data-to]");
    if (to && show(to.dataset.to)) event.preventDefault();
    // What is not sent yet goes first: the page of the end shows what the ledger has.
    const end = event.target.closest("a.step.end");
    if (end && queue.length) { event.preventDefault(); leaving = saw.dataset.end; send(); }
  });
  window.addEventListener("online", send);
  // The server chose the bar without the ticks that still wait here.
  if (queue.length && !location.search && !current().cut) {
    const state = now(), next = bars.find((each) => each.cuts.some((one) => !state.has(one.key)));
    if (next) show(next.dataset.number);
  }
  const untaken = notTaken(lost.flatMap((key) => kept(key)));
  if (untaken) say(BEFORE + untaken);
  draw();
  send();
  setTimeout(look, 1000);
}
