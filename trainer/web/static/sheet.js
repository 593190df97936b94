// What script adds to every page: the string when something is slow, a word when the connection is gone,
// order lists without a round trip. Every page works without it.
import { watchForms } from "./sending.js";
import { watchOrders } from "./order.js";

watchForms(document);
watchOrders(document);
