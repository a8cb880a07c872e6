// Small conveniences; every page reads and works without them.

// A link to a finding that stands folded away opens what it stands in.
function unfold() {
  const found = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!found) return;
  for (let around = found.parentElement; around; around = around.parentElement) if (around instanceof HTMLDetailsElement) around.open = true;
  found.scrollIntoView();
}
addEventListener("hashchange", unfold);
unfold();

// What comes late in a long list is shown when it is asked for.
const more = [...document.querySelectorAll("li.more")];
if (more.length) {
  for (const item of more) item.hidden = true;
  const button = document.createElement("button");
  button.type = "button";
  button.className = "quiet";
  button.textContent = `Show ${more.length} more`;
  button.addEventListener("click", () => {
    for (const item of more) item.hidden = false;
    button.remove();
  });
  more.at(-1).parentElement.after(button);
}
