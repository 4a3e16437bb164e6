// What is measured on a page, whatever page it is: sizes of targets, contrast, text made twice as large, paper.
import { axe } from "./app.mjs";

/** Least side of any target (published: WCAG 2.2, 2.5.8), and of what a thumb presses on a phone (our own promise), px. */
const LEAST = 24;
const THUMB = 44;

/** What axe finds by some of its rules alone, as short texts. */
export async function found(page, rules) {
  await page.evaluate(axe);
  const result = await page.evaluate((values) => axe.run(document, { runOnly: { type: "rule", values } }), rules);
  return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.html.slice(0, 120)} ${node.failureSummary}`).join(" | ")}`);
}

/** Fields, buttons and links that are smaller than they must be; a box to tick counts with its label. */
export function small(page, thumb) {
  return page.evaluate(({ least, thumb }) => {
    const seen = (one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest(".unseen, .skip");
    const box = (one) => one.getBoundingClientRect();
    const wrong = [];
    for (const one of document.querySelectorAll("input:not([type=hidden]), select, textarea, button, summary, nav a, .actions a, a.button, a.quiet, a.target")) {
      if (!seen(one)) continue;
      let { width, height } = box(one);
      if (one.matches("[type=checkbox], [type=radio]")) {
        const labels = [...one.labels].map(box);
        width = Math.max(width, ...labels.map((label) => label.width));
        height = Math.max(height, ...labels.map((label) => label.height));
      }
      const wanted = thumb ?? least;
      // A short word may be narrower than a thumb, but not than the least.
      if (height < wanted - 0.5 || width < least - 0.5) wrong.push(`${Math.round(width)} x ${Math.round(height)}: ${one.outerHTML.slice(0, 120)}`);
    }
    return wrong;
  }, { least: LEAST, thumb: thumb ? THUMB : undefined });
}

/** Words that are cut off or run out of their box once text is twice as large. */
export async function cut(page) {
  await page.evaluate(() => {
    const root = document.documentElement;
    root.style.fontSize = `${2 * parseFloat(getComputedStyle(root).fontSize)}px`;
  });
  const wrong = await page.evaluate(() =>
    [...document.querySelectorAll("h1, h2, h3, p, label, legend, button, summary, a, li, dt, dd, option")]
      .filter((one) => one.checkVisibility() && getComputedStyle(one).clipPath === "none" && !one.closest(".scroll, .label-sheet, pre, .unseen, .skip, svg") && one.clientWidth > 0)
      .filter((one) => one.scrollWidth > one.clientWidth + 2 || (getComputedStyle(one).overflowY !== "visible" && one.scrollHeight > one.clientHeight + 2))
      .map((one) => `${one.scrollWidth} in ${one.clientWidth}: ${one.outerHTML.slice(0, 120)}`),
  );
  await page.evaluate(() => document.documentElement.style.removeProperty("font-size"));
  return wrong;
}

/** What moves by itself or glides. */
export function moving(page) {
  return page.evaluate(() => {
    const glides = (one) => {
      const style = getComputedStyle(one);
      return style.animationName !== "none" || style.transitionDuration.split(", ").some((time) => parseFloat(time) > 0) || style.scrollBehavior !== "auto";
    };
    return [...document.querySelectorAll("*")].filter(glides).map((one) => one.outerHTML.slice(0, 80));
  });
}

/** Ink drawings whose paper is not white, or whose ink is not dark (where the system picks the colours). */
export function unreadable(page) {
  return page.evaluate(() => {
    const light = (colour) => (colour.match(/\d+/g) ?? [0, 0, 0]).slice(0, 3).reduce((sum, part) => sum + Number(part), 0) / 765;
    const papers = [...document.querySelectorAll(".drawing, .code, .turn svg, article.sheet, .label-sheet")].filter((one) => one.checkVisibility());
    const pale = papers.filter((one) => light(getComputedStyle(one).backgroundColor) < 0.95);
    const faint = papers.flatMap((one) => [...one.querySelectorAll("svg text")]).filter((one) => light(getComputedStyle(one).fill) > 0.5);
    return [...pale, ...faint].map((one) => one.outerHTML.slice(0, 100));
  });
}

/** What stands wrong on paper: things for the screen that show, ink that isn't black on white, tables that are cut. */
export function misprinted(page) {
  return page.evaluate(() => {
    const wrong = [];
    const shown = [...document.querySelectorAll("nav, form, button, .foot, .skip, .screen-only, .turn")].filter((one) => one.checkVisibility());
    wrong.push(...shown.map((one) => `shows: ${one.outerHTML.slice(0, 80)}`));
    const style = getComputedStyle(document.body);
    const ground = getComputedStyle(document.documentElement).backgroundColor;
    if (ground !== "rgb(255, 255, 255)" || style.color !== "rgb(0, 0, 0)") wrong.push(`${style.color} on ${ground}`);
    for (const one of document.querySelectorAll(".scroll, .sheet, table")) {
      if (one.checkVisibility() && one.getBoundingClientRect().right > document.documentElement.clientWidth + 1) wrong.push(`cut: ${one.outerHTML.slice(0, 80)}`);
    }
    for (const one of document.querySelectorAll("*")) {
      const at = getComputedStyle(one).position;
      if ((at === "fixed" || at === "sticky") && one.checkVisibility()) wrong.push(`hangs over: ${one.outerHTML.slice(0, 80)}`);
    }
    return wrong;
  });
}
