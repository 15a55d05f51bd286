// The one thing that paper needs a script for.
const button = document.getElementById("print");
if (button) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
