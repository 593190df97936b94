// What script adds to every page: the string when something is slow, a word when the connection is gone.
// Every page works without it.
import { watchForms } from "./sending.js";

watchForms(document);
