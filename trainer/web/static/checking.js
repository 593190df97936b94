// While the questions are checked: looks again by itself. Without script the button on the page does it.
const AGAIN = 1500;

setTimeout(() => location.reload(), AGAIN);
