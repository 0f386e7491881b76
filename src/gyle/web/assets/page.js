// What every page does when scripts run; without them it is all still there as plain forms.
const root = document.documentElement;
root.classList.add("scripted");

// A choice of units or paper counts at once.
for (const form of document.querySelectorAll("details.setting form")) {
  form.addEventListener("change", () => form.requestSubmit());
}

// Escape or a click elsewhere folds what hangs open.
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const open of document.querySelectorAll("details.setting[open], details.hung[open]")) {
    open.open = false;
    open.querySelector("summary").focus();
  }
});
document.addEventListener("click", (event) => {
  for (const open of document.querySelectorAll("details.setting[open], details.hung[open]")) {
    if (!open.contains(event.target)) open.open = false;
  }
});

// The address follows what the page came to be about, so that a reload shows the same.
document.addEventListener("htmx:after:request", (event) => {
  const said = event.detail.ctx.response?.headers.get("HX-Replace-Url");
  if (!said) return;
  const address = new URL(said, location.href);
  if (address.origin === location.origin) history.replaceState(history.state, "", address);
});

// A field one is still in keeps what is typed; once its answer is there, it shows what was made of it.
document.addEventListener("htmx:after:swap", (event) => {
  const field = document.activeElement;
  const sent = event.detail.ctx?.request.body;
  if (!field?.matches("input:not([type=checkbox], [type=radio])") || typeof sent?.get !== "function") return;
  if (field.value === sent.get(field.name)) field.value = field.defaultValue;
});
