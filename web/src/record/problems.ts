// The problems of a file out of the server's answer.
import { ApiError } from '../shared/api/http';
import type { FileProblem, Problem } from '../shared/api/types';

/** What is wrong in the text that was sent; empty when the error is about something else. */
export function fileProblems(error: unknown): FileProblem[] {
  if (!(error instanceof ApiError)) return [];
  return (error.body as Problem | null)?.problems ?? [];
}
