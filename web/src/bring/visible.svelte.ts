// Asking again and again, only while somebody can see the page.

/** Does something every so often while the page is visible, and at once when it comes back into view. */
export function whileVisible(every_ms: number, act: () => void): void {
  $effect(() => {
    let timer: ReturnType<typeof setInterval> | undefined;
    const begin = () => {
      timer ??= setInterval(act, every_ms);
    };
    const end = () => {
      clearInterval(timer);
      timer = undefined;
    };
    const turn = () => {
      if (document.visibilityState === 'visible') {
        act();
        begin();
      } else end();
    };
    if (document.visibilityState === 'visible') begin();
    document.addEventListener('visibilitychange', turn);
    return () => {
      document.removeEventListener('visibilitychange', turn);
      end();
    };
  });
}
