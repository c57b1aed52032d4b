// One act of a form: under way or not, what went wrong, and at which field.
import { ApiError } from './api/http';

export class Sending {
  busy = $state(false);
  error: unknown = $state.raw(null);

  /** Does it; gives true when it worked. A second press while it runs does nothing. */
  async run(act: () => Promise<void>): Promise<boolean> {
    if (this.busy) return false;
    this.busy = true;
    this.error = null;
    try {
      await act();
      return true;
    } catch (error) {
      this.error = error;
      return false;
    } finally {
      this.busy = false;
    }
  }

  /** The error that belongs to a field, for `Field`. */
  of(field: string): string | undefined {
    if (!(this.error instanceof ApiError) || this.error.field !== field) return undefined;
    return [this.error.message, this.error.hint].filter(Boolean).join(' ');
  }

  /** The error that belongs to none of these fields, for `Trouble`. */
  besides(...fields: string[]): unknown {
    if (this.error instanceof ApiError && fields.includes(this.error.field ?? '')) return null;
    return this.error;
  }
}
