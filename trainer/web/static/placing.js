// While a search runs: fetches the page and puts how far it is in place of what stands there, and shows the whole
// page anew when it has ended. Without script a link on the page does it.
const AGAIN = 1000;
const SPOKEN = 15; // a screen reader hears every so many per cent

let heard = 0;

async function lookAgain() {
  try {
    const reply = await fetch(location.href, { cache: "no-store" });
    const fresh = new DOMParser().parseFromString(await reply.text(), "text/html").getElementById("search");
    if (!fresh) return location.reload();
    const share = fresh.querySelector("progress").value;
    document.getElementById("search").replaceChildren(...fresh.childNodes);
    if (share >= heard + SPOKEN) {
      heard = share;
      document.getElementById("said").textContent = document.querySelector("#search label").textContent;
    }
  } catch {
    // No connection just now: the next time may do.
  }
  setTimeout(lookAgain, AGAIN);
}

setTimeout(lookAgain, AGAIN);
