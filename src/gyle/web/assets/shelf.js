// What is searched for stands in the address, so that a page left and come back to still shows it.
const search = document.querySelector("#q");
search?.addEventListener("input", () => {
  const wanted = search.value.trim();
  history.replaceState(null, "", wanted ? `/?q=${encodeURIComponent(wanted)}` : "/");
});
