// Requests to the server: one place for the header, errors, sign-out and upload.

const BASE = '/api/v1';

/** What the server (or the way to it) says went wrong. */
export class ApiError extends Error {
  override readonly name = 'ApiError';
  constructor(
    /** HTTP status; 0 = no answer came. */
    readonly status: number,
    /** Stable code, e.g. `not_found`. */
    readonly code: string,
    message: string,
    /** How to mend it. */
    readonly hint?: string,
    /** Which field of the form it is about. */
    readonly field?: string,
    /** The whole answer: some errors carry more, e.g. problems of a file. */
    readonly body?: unknown,
  ) {
    super(message);
  }
}

export interface RequestOptions {
  signal?: AbortSignal | undefined;
  query?: Record<string, string | number | boolean | null | undefined> | undefined;
}

let signedOut: () => void = () => undefined;

/** Called when the server no longer knows who asks. */
export function onSignedOut(action: () => void): void {
  signedOut = action;
}

/** The address of an answer that the browser fetches itself: a file to download. */
export function apiAddress(path: string, query: RequestOptions['query'] = {}): string {
  const search = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) {
    if (value !== null && value !== undefined && value !== '') search.set(key, String(value));
  }
  const text = search.toString();
  return BASE + path + (text === '' ? '' : `?${text}`);
}

/** Sends a request and gives the JSON of the answer (undefined when there is none). */
export async function request<T>(
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE',
  path: string,
  body?: unknown,
  options: RequestOptions = {},
): Promise<T> {
  const headers: Record<string, string> = { Accept: 'application/json' };
  if (method !== 'GET') headers['X-Proofwing-Request'] = '1';
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  const response = await send(apiAddress(path, options.query), {
    method,
    headers,
    credentials: 'same-origin',
    body: body === undefined ? null : JSON.stringify(body),
    signal: options.signal ?? null,
  });
  return (await readJson(response)) as T;
}

/** Bytes of an answer, e.g. a flight's series. */
export async function requestBytes(path: string, options: RequestOptions = {}): Promise<ArrayBuffer> {
  const response = await send(apiAddress(path, options.query), {
    credentials: 'same-origin',
    signal: options.signal ?? null,
  });
  if (!response.ok) throw errorOf(response.status, await jsonOrNull(response));
  return response.arrayBuffer();
}

/**
 * Sends a file's bytes as they are, saying how far it is (0 to 1). fetch cannot tell progress of what it
 * sends, hence XMLHttpRequest.
 */
export function upload<T>(
  path: string,
  file: Blob,
  options: RequestOptions & { onProgress?: (share: number) => void } = {},
): Promise<T> {
  return new Promise((resolve, reject) => {
    const sender = new XMLHttpRequest();
    sender.open('POST', apiAddress(path, options.query));
    sender.setRequestHeader('X-Proofwing-Request', '1');
    sender.setRequestHeader('Content-Type', 'application/octet-stream');
    sender.setRequestHeader('Accept', 'application/json');
    sender.upload.onprogress = (event) => {
      if (event.lengthComputable) options.onProgress?.(event.loaded / event.total);
    };
    sender.onload = () => {
      const body = parse(sender.responseText);
      if (sender.status >= 200 && sender.status < 300) resolve(body as T);
      else reject(errorOf(sender.status, body));
    };
    sender.onerror = () => {
      reject(noAnswer());
    };
    sender.onabort = () => {
      reject(new DOMException('The upload was stopped', 'AbortError'));
    };
    options.signal?.addEventListener('abort', () => {
      sender.abort();
    });
    sender.send(file);
  });
}

/** True for a request that was given up on purpose. */
export function isAbort(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'AbortError';
}

async function send(address: string, init: RequestInit): Promise<Response> {
  try {
    return await fetch(address, init);
  } catch (error) {
    if (isAbort(error)) throw error;
    throw noAnswer();
  }
}

async function readJson(response: Response): Promise<unknown> {
  const body = await jsonOrNull(response);
  if (response.ok) return body ?? undefined;
  throw errorOf(response.status, body);
}

async function jsonOrNull(response: Response): Promise<unknown> {
  return parse(await response.text());
}

function parse(text: string): unknown {
  try {
    return text === '' ? null : JSON.parse(text);
  } catch {
    return null;
  }
}

function noAnswer(): ApiError {
  return new ApiError(
    0,
    'no_answer',
    'The server did not answer.',
    'Is the program still running, and this device on its network? What you wrote is still here; try again.',
  );
}

function errorOf(status: number, body: unknown): ApiError {
  const said = (typeof body === 'object' && body !== null ? body : {}) as Record<string, unknown>;
  const text = (key: string) => (typeof said[key] === 'string' ? said[key] : undefined);
  if (status === 401 && text('code') === 'signed_out') signedOut();
  return new ApiError(
    status,
    text('code') ?? `http_${String(status)}`,
    text('message') ?? `The server answered with ${String(status)} and no explanation.`,
    text('hint'),
    text('field'),
    body,
  );
}
