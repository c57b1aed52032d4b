// Who is signed in, and what anyone may know of the server.
import { api } from './api/api';
import { ApiError } from './api/http';
import type { Me, Role, Status } from './api/types';

const HINT = 'proofwing-signed-in';

class Session {
  #me: Me | null | undefined = $state.raw(undefined);
  status: Status | undefined = $state.raw(undefined);
  /** The server no longer knows them, though they are still at work on a page. */
  ended = $state(false);

  /** null = nobody, undefined = not known yet. */
  get me(): Me | null | undefined {
    return this.#me;
  }

  set me(me: Me | null) {
    this.#me = me;
    remember(me !== null);
  }

  get role(): Role | undefined {
    return this.me?.person.role;
  }

  /** Chief or instructor. */
  get teaches(): boolean {
    return this.role === 'chief' || this.role === 'instructor';
  }

  /** Everyone but a student reads the whole school. */
  get readsAll(): boolean {
    return this.me != null && this.role !== 'student';
  }

  async load(): Promise<void> {
    this.status = await api.status();
    if (this.status.first_run || !remembered()) {
      this.me = null;
      return;
    }
    try {
      this.me = await api.me();
    } catch (error) {
      if (error instanceof ApiError && error.status === 401) this.me = null;
      else throw error;
    }
  }
}

// The session's cookie cannot be seen from here. This says only whether asking who is signed in is of any use, so
// that a first visit makes no request that must fail; where nothing can be kept, the pages ask each time.

function remembered(): boolean {
  try {
    return localStorage.getItem(HINT) !== null;
  } catch {
    return true;
  }
}

function remember(signedIn: boolean): void {
  try {
    if (signedIn) localStorage.setItem(HINT, '1');
    else localStorage.removeItem(HINT);
  } catch {
    // Nothing can be kept in this browser.
  }
}

export const session = new Session();
