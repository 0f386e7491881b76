// The line under one's hands: pins that are dragged or nudged, keys for undo and redo, a figure's origin.
// All of it writes into the fields that are there without a script, so that there is one way to edit.

const beer = () => document.getElementById("beer");
const SETTLE_MS = 220; // a nudge is sent once the keys have rested so long

// One open page is one hand: the server lets it go on from its own edits while an answer is on its way.
const hand = Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => b.toString(16).padStart(2, "0")).join("");
// Requests wait for each other. Each carries every field, so an edit that waits is made by the one behind it; a
// button that was pressed is not.
let newest = null;
document.addEventListener("htmx:config:request", (event) => {
  const body = event.detail.ctx.request.body;
  if (body && typeof body.set === "function") body.set("hand", hand);
  newest = event.detail.ctx;
});
document.addEventListener("htmx:before:request", (event) => {
  const { ctx } = event.detail;
  const pressed = ctx.request.body?.get?.("do") ?? "edit";
  if (ctx !== newest && ctx.sourceElement === beer() && pressed === "edit") event.preventDefault();
});
document.addEventListener("htmx:before:request", () => beer()?.classList.add("brewing"));
document.addEventListener("htmx:finally:request", () => beer()?.classList.remove("brewing"));
document.addEventListener("htmx:error", () => tell("The program does not answer. What you typed is still here; it is sent with the next change."));
document.addEventListener("htmx:response:error", (event) => {
  if (event.detail.ctx.response.status >= 500) tell("The program is at fault. What you typed is still here.");
});

function tell(sentence) {
  const told = document.getElementById("told");
  const notice = document.createElement("div");
  notice.className = "notice";
  notice.append(Object.assign(document.createElement("p"), { textContent: sentence }));
  told.replaceChildren(notice);
}

// -- pins
const NUMBER = String.raw`\d+(?:[.,]\d+)?`;
function rewritten(text, unit, value) {
  const number = String(value);
  if (unit === "min") return text.replace(new RegExp(`${NUMBER}(?=\\s*(?:min|minutes?)\\b)`), number);
  if (unit === "day") return text.replace(new RegExp(`(?<=day\\s+)${NUMBER}`), number);
  return text.replace(new RegExp(NUMBER), number);
}
function inFahrenheit(input) {
  return /F\s*$/.test(input.value);
}

class Held {
  constructor(pin) {
    this.pin = pin;
    this.input = beer().elements.namedItem(pin.dataset.place);
    this.least = Number(pin.getAttribute("aria-valuemin"));
    this.most = Number(pin.getAttribute("aria-valuemax"));
    this.now = Number(pin.getAttribute("aria-valuenow"));
    this.rest = pin.classList.contains("rest");
    this.step = this.rest ? 0.5 : 1;
    this.frame = pin.parentNode; // the drawing that hangs the pin at its place
    this.first = this.now;
  }
  set(value) {
    this.now = Math.min(Math.max(Math.round(value / this.step) * this.step, this.least), this.most);
    const pin = this.pin;
    pin.setAttribute("aria-valuenow", this.now);
    let said = this.now;
    if (this.rest) {
      if (inFahrenheit(this.input)) said = Math.round((this.now * 1.8 + 32) * 2) / 2;
    } else {
      const share = pin.dataset.unit === "day" ? (this.now - 1) / Math.max(this.most, 1) : 1 - this.now / Math.max(this.most, 1e-9);
      this.frame.setAttribute("x", `${(100 * share).toFixed(2)}%`);
    }
    this.input.value = rewritten(this.input.value, pin.dataset.unit, said);
    pin.setAttribute("aria-valuetext", this.input.value);
  }
  send() {
    if (this.now === this.first) return;
    this.first = this.now;
    this.input.dispatchEvent(new Event("change", { bubbles: true }));
  }
}

// A pin whose field is not on the page (the line of the recipe before) stays where it is.
function pinOf(event) {
  const pin = event.target.closest?.(".pin[role=slider]");
  return pin && beer()?.elements.namedItem(pin.dataset.place) ? pin : null;
}

let settle = 0;
let nudged = null;
document.addEventListener("keydown", (event) => {
  const pin = pinOf(event);
  if (!pin || event.ctrlKey || event.metaKey || event.altKey) return;
  if (nudged?.pin !== pin) nudged = new Held(pin);
  const big = nudged.rest ? 2 : 5;
  const earlier = pin.dataset.unit === "min" ? 1 : -1; // to the left
  const moves = {
    ArrowLeft: nudged.rest ? -nudged.step : earlier, ArrowRight: nudged.rest ? nudged.step : -earlier,
    ArrowUp: nudged.step, ArrowDown: -nudged.step, PageUp: big, PageDown: -big,
    Home: nudged.least - nudged.now, End: nudged.most - nudged.now,
  };
  if (!(event.key in moves)) return;
  event.preventDefault();
  nudged.set(nudged.now + moves[event.key] * (event.shiftKey && event.key.startsWith("Arrow") ? 5 : 1));
  clearTimeout(settle);
  const held = nudged;
  settle = setTimeout(() => { held.send(); nudged = null; }, SETTLE_MS);
});

document.addEventListener("pointerdown", (event) => {
  const pin = pinOf(event);
  if (!pin || event.button !== 0) return;
  event.preventDefault();
  pin.focus();
  const held = new Held(pin);
  const from = { x: event.clientX, y: event.clientY, value: held.now };
  const drawing = pin.closest(".axis-drawing").getBoundingClientRect();
  pin.classList.add("held");
  pin.setPointerCapture(event.pointerId);
  const move = (moved) => {
    if (held.rest) held.set(from.value - (moved.clientY - from.y) / 5);
    else {
      const share = (moved.clientX - from.x) / Math.max(drawing.width, 1);
      held.set(from.value + (pin.dataset.unit === "day" ? share : -share) * held.most);
    }
  };
  const end = (ended) => {
    pin.removeEventListener("pointermove", move);
    pin.removeEventListener("pointerup", end);
    pin.removeEventListener("pointercancel", end);
    pin.classList.remove("held");
    if (ended.type === "pointerup") held.send();
    else held.set(held.first);
  };
  pin.addEventListener("pointermove", move);
  pin.addEventListener("pointerup", end);
  pin.addEventListener("pointercancel", end);
});

// The line on why belongs to saving; writing it is no edit.
document.addEventListener("change", (event) => { if (event.target.id === "why") event.stopImmediatePropagation(); }, true);

// -- where one is after a button has changed the rows: in the new row, or beside where the old one was
let pressed = null;
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("#beer button[name=do]");
  if (!button) return;
  const names = new Set(Array.from(beer().elements, (field) => field.name));
  pressed = { deed: button.value.split(" ")[0], station: button.closest(".station")?.classList[1], names };
});
// What is being typed goes with its row when a row above it is taken out meanwhile.
function followed(field, row) {
  const [list, number] = row.split(".");
  const [own, place, ...rest] = field.name.split(".");
  if (own !== list || Number(place) < Number(number) || field.value === field.defaultValue) return;
  const typed = field.value;
  field.value = field.defaultValue;
  const now = Number(place) === Number(number) ? null : beer().elements.namedItem([own, Number(place) - 1, ...rest].join("."));
  if (!now) return;
  now.value = typed;
  now.focus();
  // A browser tells of a change only where it was typed.
  now.addEventListener("blur", () => {
    if (now.value !== now.defaultValue) now.dispatchEvent(new Event("change", { bubbles: true }));
  }, { once: true });
}
document.addEventListener("htmx:after:swap", (event) => {
  const sent = event.detail.ctx?.request.body;
  const deed = typeof sent?.get === "function" ? String(sent.get("do") ?? "") : "";
  if (deed.startsWith("remove ") && document.activeElement?.name) followed(document.activeElement, deed.slice(7));
  const was = pressed;
  pressed = null;
  if (!was) return;
  if (was.deed === "add") {
    const made = Array.from(beer().elements).find((field) => /\.(what|temperature)$/.test(field.name) && !was.names.has(field.name));
    made?.focus();
    made?.select?.();
  } else if (document.activeElement === document.body) {
    const near = was.deed === "remove" ? `.station.${was.station} .more-of` : "#undo:enabled, #redo:enabled";
    beer().querySelector(near)?.focus();
  }
});

// -- undo and redo, where no field is being written in
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  if (event.target.matches("input, textarea") && event.target.value !== event.target.defaultValue) return;
  const button = document.getElementById(event.shiftKey ? "redo" : "undo");
  if (!button || button.disabled) return;
  event.preventDefault();
  button.click();
});

// -- where a figure comes from
document.addEventListener("click", async (event) => {
  const link = event.target.closest?.("a.figure");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  const dialog = document.getElementById("behind");
  if (!dialog?.showModal) return;
  event.preventDefault();
  try {
    const response = await fetch(link.href, { headers: { "HX-Request": "true", "HX-Request-Type": "partial" } });
    if (!response.ok) throw new Error(String(response.status));
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    document.getElementById("behind-body").replaceChildren(...page.body.childNodes);
    dialog.showModal();
  } catch {
    location.href = link.href;
  }
});
document.addEventListener("click", (event) => {
  const dialog = document.getElementById("behind");
  if (dialog?.open && (event.target === dialog || event.target.closest?.("[data-close]"))) dialog.close();
});
