// The page's address as state, on the History API. Links are plain <a href>: one listener on the document
// takes the clicks that stay within the pages.
import { tick } from 'svelte';
import { match, queryText, type Query, type Route } from './routes';

class Router {
  /** The page that is shown. */
  route: Route = $state.raw(match(location.pathname));
  /** What stands after the question mark. */
  query: URLSearchParams = $state.raw(new URLSearchParams(location.search));
  /** Counts page changes: a view that must begin anew is keyed by it. */
  visit = $state(0);

  /** Path and query, for coming back after signing in. */
  get address(): string {
    const search = this.query.toString();
    return location.pathname + (search === '' ? '' : `?${search}`);
  }

  /** Goes to an address of ours (from `href`). */
  go(to: string, options: { replace?: boolean } = {}): void {
    if (options.replace) history.replaceState(null, '', to);
    else history.pushState(null, '', to);
    this.#read(true);
  }

  /** Sets or clears (null) parts of the query in place: no new step in the history, no move of focus. */
  setQuery(change: Query): void {
    const now: Query = Object.fromEntries(this.query);
    const to = location.pathname + queryText({ ...now, ...change });
    history.replaceState(history.state, '', to);
    this.query = new URLSearchParams(location.search);
  }

  /** Listens to links and to back and forward; gives the function that stops it. */
  listen(): () => void {
    const click = (event: MouseEvent) => {
      const to = ownLink(event);
      if (to === null) return;
      event.preventDefault();
      this.go(to);
    };
    const back = () => {
      this.#read(true);
    };
    document.addEventListener('click', click);
    window.addEventListener('popstate', back);
    return () => {
      document.removeEventListener('click', click);
      window.removeEventListener('popstate', back);
    };
  }

  #read(moveFocus: boolean): void {
    const before = this.route;
    const route = match(location.pathname);
    this.query = new URLSearchParams(location.search);
    if (JSON.stringify(before) === JSON.stringify(route)) return;
    this.route = route;
    this.visit += 1;
    if (!moveFocus) return;
    // A new page is read from its top: focus goes to the main part, as after a real page load.
    void tick().then(() => {
      document.getElementById('main')?.focus({ preventScroll: true });
      window.scrollTo(0, 0);
    });
  }
}

/** The address that a click asks for, when it is a plain click on a link into the pages. */
function ownLink(event: MouseEvent): string | null {
  if (event.defaultPrevented || event.button !== 0) return null;
  if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return null;
  const link = event.target instanceof Element ? event.target.closest('a') : null;
  if (link === null || link.target !== '' || link.hasAttribute('download')) return null;
  const url = new URL(link.href, location.href);
  if (url.origin !== location.origin || url.pathname.startsWith('/api/')) return null;
  if (url.hash !== '' && url.pathname === location.pathname) return null; // A jump within the page.
  return url.pathname + url.search;
}

export const router = new Router();
