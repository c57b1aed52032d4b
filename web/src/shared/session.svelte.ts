// Who is signed in, and what anyone may know of the server.
import { api } from './api/api';
import type { Me, Role, Status } from './api/types';

class Session {
  /** null = nobody, undefined = not known yet. */
  me: Me | null | undefined = $state.raw(undefined);
  status: Status | undefined = $state.raw(undefined);

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
    if (this.status.first_run) {
      this.me = null;
      return;
    }
    try {
      this.me = await api.me();
    } catch (error) {
      if (error instanceof Error && 'status' in error && error.status === 401) this.me = null;
      else throw error;
    }
  }
}

export const session = new Session();
