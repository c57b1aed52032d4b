// The page's inks as colors for a drawing that has no style sheet, and word when they change.

export interface Inks {
  readonly paper: string;
  readonly ink: string;
  readonly ink2: string;
  readonly ink3: string;
  readonly rule: string;
  readonly band: string;
}

export function readInks(): Inks {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string): string => style.getPropertyValue(name).trim();
  return {
    paper: of('--paper'),
    ink: of('--ink'),
    ink2: of('--ink-2'),
    ink3: of('--ink-3'),
    rule: of('--rule'),
    band: of('--band'),
  };
}

/** Calls when the reader's system or choice turns from light to dark or back; gives the function that stops it. */
export function onInks(changed: () => void): () => void {
  const query = matchMedia('(prefers-color-scheme: dark)');
  query.addEventListener('change', changed);
  const observer = new MutationObserver(changed);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  return () => {
    query.removeEventListener('change', changed);
    observer.disconnect();
  };
}
