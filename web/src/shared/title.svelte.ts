// The window's title: the page first, then the program.

/** Call in a component's script with a function, so that the title follows what it reads. */
export function setTitle(title: () => string): void {
  $effect(() => {
    document.title = `${title()} · Proofwing`;
  });
}
