// What script adds to every page: the string when something is slow, a word when the connection is gone.
// Every page works without it.
import { tidyUp } from "./practical_drafts.js";
import { watchForms } from "./sending.js";

tidyUp();

watchForms(document);

// Where the places are wider than the screen, the one we stand in is in sight.
const here = document.querySelector(".places [aria-current]");
if (here) here.parentElement.scrollLeft = here.offsetLeft;
