// What script adds to every page: the string when something is slow, a word when the connection is gone.
// Every page works without it.
import { tidyUp } from "./practical_drafts.js";
import { watchForms } from "./sending.js";

tidyUp();

watchForms(document);
