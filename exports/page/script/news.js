// Where the focus goes after an event.

/**
 * Moves the focus to what has just happened.
 * @param {News | null} news
 */
function focusOnNews(news) {
  const main = byId("main");
  const last = (/** @type {string} */ selector) => /** @type {HTMLElement | undefined} */ ([...main.querySelectorAll(selector)].at(-1));
  const heading = last("h1");
  switch (news?.kind) {
    case "verdict": {
      const verdict = last(".verdict");
      if (verdict) showVerdict(verdict);
      break;
    }
    case "elsewhere":
      focusOn(byId("elsewhere"), { block: "start" });
      break;
    case "unread":
    case "same":
      asked?.focus(news.field ?? 0);
      break;
    case "hint": {
      say(news.text);
      const more = last("#hint");
      if (more) more.focus({ preventScroll: true });
      else focusOn(/** @type {HTMLElement} */ (last(".hint")));
      break;
    }
    case "question":
      focusOn(/** @type {HTMLElement} */ (last(".part > h2")), { block: "start" });
      break;
    case "points":
      focusOn(/** @type {HTMLElement} */ (last("#points") ?? heading), { block: "nearest" });
      break;
    case "answer":
      focusOn(/** @type {HTMLElement} */ (last(".answer h3") ?? heading), { block: "start" });
      break;
    case "ended":
      focusOn(/** @type {HTMLElement} */ (last(".answer h3") ?? last(".end h2") ?? heading), { block: "start" });
      break;
    default:
      if (heading && visit.begun) focusOn(heading, null);
  }
}

/**
 * Shows a verdict wholly, and the question above it where both fit.
 * @param {HTMLElement} verdict
 */
function showVerdict(verdict) {
  focusOn(verdict, null);
  const part = verdict.closest(".part") ?? verdict;
  const bottom = verdict.getBoundingClientRect().bottom;
  const fits = (/** @type {Element} */ from) => bottom - from.getBoundingClientRect().top <= innerHeight - 16;
  const from = fits(part) ? part : verdict;
  const { top } = from.getBoundingClientRect();
  // Nothing moves when all of it is in view already.
  if (top < 0 || bottom > innerHeight) from.scrollIntoView({ block: "start" });
}
