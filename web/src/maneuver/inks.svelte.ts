// Tells drawings on a canvas that the page's inks changed: light, dark, or the reader's own choice.

class InkChanges {
  count = $state(0);

  constructor() {
    const changed = (): void => {
      this.count += 1;
    };
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', changed);
    new MutationObserver(changed).observe(document.documentElement, {
      attributes: true,
      attributeFilter: ['data-theme'],
    });
  }
}

export const inkChanges = new InkChanges();
