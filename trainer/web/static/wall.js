// The list beside the cabinet: looks again every minute, takes names off when their time is up, and says when it is
// old. Time is counted from the last answer, so that a tablet with a wrong clock is not believed.
const EVERY = 60_000;
const OLD = 150_000;

const roster = document.getElementById("roster");
const checked = document.getElementById("checked");
const stale = document.getElementById("stale");
let answered = { steady: performance.now(), wall: Date.now() };

// A tablet that slept may have stopped the one clock; the other may have been set. The longer one counts.
function age() {
  return Math.max(performance.now() - answered.steady, Date.now() - answered.wall, 0);
}

function look() {
  const old = age() > OLD;
  stale.hidden = !old;
  // An old list is worse than none: somebody on it may have been suspended since.
  roster.hidden = old;
  document.body.classList.toggle("old", old);
  if (old) return;
  const names = [...roster.querySelectorAll("[data-left]")];
  for (const one of names) one.hidden = age() >= Number(one.dataset.left) * 1000;
  roster.querySelector(".nobody").hidden = names.some((one) => !one.hidden);
}

async function ask() {
  const sent = { steady: performance.now(), wall: Date.now() };
  try {
    const answer = await fetch(location.href, { cache: "no-store", signal: AbortSignal.timeout(20_000) });
    if (!answer.ok || answer.redirected) throw new Error("no list");
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const [newer, time] = [page.getElementById("roster"), page.getElementById("checked")];
    if (!newer || !time) throw new Error("no list");
    roster.replaceChildren(...newer.childNodes);
    checked.replaceChildren(...time.childNodes);
    answered = sent;
  } catch {
    // Nothing to do: what stands there grows old, and look() says so.
  }
  look();
}

setInterval(ask, EVERY);
setInterval(look, 1000);
addEventListener("online", ask);
document.addEventListener("visibilitychange", () => document.hidden || ask());
look();
