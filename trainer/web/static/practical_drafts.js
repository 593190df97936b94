// Practicals on this device that are not signed yet. Each draft belongs to one observer and is shown to nobody else;
// it goes once the server has the practical, when its observer erases it, and when they sign out. No password is kept.

const PREFIX = "stringline practical ";
const OBSERVER = "stringline observer";
const SCOPE = "/practicals";
export const ASIDE = "stringline practicals";

// Which checklist an address names: who is observed on what, as the first observer (`new`) or the second one.
export function checklistOf(address) {
  const { pathname, searchParams } = new URL(address, location.href);
  const [person, machine] = [searchParams.get("person"), searchParams.get("machine")];
  return person && machine ? `${pathname.split("/").pop()} ${person} ${machine}` : null;
}

export const keyOf = (observer, checklist) => `${PREFIX}${observer} ${checklist}`;

// Who signed in last on this browser and has not signed out.
export function lastObserver() {
  try {
    return localStorage.getItem(OBSERVER);
  } catch {
    return null;
  }
}

export function load(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

// Whether it could be kept: a full or closed store keeps nothing.
export function save(key, draft) {
  try {
    localStorage.setItem(key, JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

export function drop(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // What could not be kept need not go.
  }
}

export function draftsOf(observer) {
  const start = keyOf(observer, "");
  try {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(start));
    return keys.map((key) => [key, load(key)]).filter(([, draft]) => draft);
  } catch {
    return [];
  }
}

export const isMarked = (draft) => draft.fields.some(([, value]) => value);

// Drop what the server has: the answer to what was sent may have been lost on its way. Gives the dropped keys.
export async function dropArrived(observer) {
  const gone = [];
  for (const [key, draft] of draftsOf(observer).filter(([, one]) => one.sent)) {
    try {
      const reply = await fetch(`${SCOPE}/arrived/${draft.form}`, { cache: "no-store", signal: AbortSignal.timeout(4000) });
      if (reply.redirected || !reply.ok || !(await reply.json()).arrived) continue;
    } catch {
      return gone;
    }
    drop(key);
    gone.push(key);
  }
  return gone;
}

// The page that opens without a connection goes too.
async function forgetPages() {
  if ("caches" in window) await caches.delete(ASIDE);
  const worker = await navigator.serviceWorker?.getRegistration(SCOPE);
  await worker?.unregister();
}

function signOut(event) {
  const form = event.target;
  if (!form.matches("form[data-unsent]")) return;
  const drafts = draftsOf(document.body.dataset.person);
  if (drafts.some(([, draft]) => isMarked(draft)) && !confirm(form.dataset.unsent)) {
    event.preventDefault();
    return;
  }
  for (const [key] of drafts) drop(key);
  drop(OBSERVER);
  forgetPages();
}

// On every page: know whose drafts may be shown, and tidy up.
export function tidyUp() {
  const { person, door } = document.body.dataset;
  document.addEventListener("submit", signOut, true);
  if (person) {
    try {
      localStorage.setItem(OBSERVER, person);
    } catch {
      return;
    }
    if (!document.querySelector("form.checklist")) dropArrived(person);
  } else if (door) {
    drop(OBSERVER);
    forgetPages();
  }
}
