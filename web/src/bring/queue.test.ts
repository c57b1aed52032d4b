import { expect, it } from 'vitest';
import { ApiError } from '../shared/api/http';
import type { Imported } from '../shared/api/types';
import { AT_ONCE, Queue, type Send } from './queue.svelte';

const file = (name: string) => new File(['x'], name);
const imported = { known: false, lessons: [], recording: { name: '' } } as unknown as Imported;
const settle = async () => {
  for (let turn = 0; turn < 20; turn += 1) await Promise.resolve();
};

/** A server whose answers the test gives. */
function server() {
  const asked: { name: string; answer: (of: Imported) => void; fail: (error: unknown) => void }[] = [];
  const send: Send = (sent, { signal }) =>
    new Promise((answer, fail) => {
      asked.push({ name: sent.name, answer, fail });
      signal.addEventListener('abort', () => {
        fail(new DOMException('stopped', 'AbortError'));
      });
    });
  return { asked, send };
}

const signedOut = new ApiError(401, 'signed_out', 'signed out');

it('prop_no_more_than_a_few_are_under_way_at_once', async () => {
  const { asked, send } = server();
  const queue = new Queue(send, () => Promise.resolve(true));
  queue.signedIn('kim');
  queue.add(
    Array.from({ length: 8 }, (_, index) => file(`${String(index)}.csv`)),
    'kim',
  );
  expect(asked).toHaveLength(AT_ONCE);
  asked[0]?.answer(imported);
  await settle();
  expect(asked).toHaveLength(AT_ONCE + 1);
  for (let at = 1; at < 8; at += 1) {
    asked[at]?.answer(imported);
    await settle();
  }
  expect(queue.items.map((item) => item.stage)).toEqual(Array.from({ length: 8 }, () => 'here'));
});

it('prop_an_expired_session_loses_no_file_and_it_goes_on_by_itself', async () => {
  const { asked, send } = server();
  const queue = new Queue(send, () => Promise.resolve(true));
  queue.signedIn('kim');
  queue.add([file('a.csv'), file('b.csv')], 'kim');
  asked[0]?.fail(signedOut);
  asked[1]?.fail(signedOut);
  await settle();
  queue.signedIn(null);
  expect(queue.items.map((item) => item.stage)).toEqual(['waiting', 'waiting']);
  queue.add([file('c.csv')], 'kim');
  expect(asked).toHaveLength(2);
  // Another person's sign-in does not send them in the other's name.
  queue.signedIn('ola');
  expect(asked).toHaveLength(2);
  queue.signedIn('kim');
  expect(asked.slice(2).map((each) => each.name)).toEqual(['a.csv', 'b.csv', 'c.csv']);
  for (const each of asked.slice(2)) each.answer(imported);
  await settle();
  expect(queue.items.every((item) => item.stage === 'here')).toBe(true);
});

it('prop_a_connection_cut_by_a_refusal_counts_as_signed_out', async () => {
  const { asked, send } = server();
  const queue = new Queue(send, () => Promise.resolve(false));
  queue.signedIn('kim');
  queue.add([file('a.csv')], 'kim');
  asked[0]?.fail(new ApiError(0, 'no_answer', ''));
  await settle();
  expect(queue.items[0]?.stage).toBe('waiting');
  expect(queue.held).toBe(true);
});

it('prop_without_a_network_a_person_decides_to_try_again', async () => {
  const { asked, send } = server();
  const queue = new Queue(send, () => Promise.reject(new Error('no network')));
  queue.signedIn('kim');
  const [item] = queue.add([file('a.csv')], 'kim');
  asked[0]?.fail(new ApiError(0, 'no_answer', ''));
  await settle();
  expect(item?.stage).toBe('refused');
  expect(item?.mayTryAgain).toBe(true);
  queue.again(item!);
  asked[1]?.answer(imported);
  await settle();
  expect(item?.stage).toBe('here');
});

it('prop_a_busy_server_is_asked_again_and_given_up_at_last', async () => {
  const { asked, send } = server();
  const pauses: number[] = [];
  const queue = new Queue(
    send,
    () => Promise.resolve(true),
    (ms) => {
      pauses.push(ms);
      return Promise.resolve();
    },
  );
  queue.signedIn('kim');
  const [item] = queue.add([file('a.csv')], 'kim');
  for (let at = 0; at < 7; at += 1) {
    asked[at]?.fail(new ApiError(503, 'busy', 'busy'));
    await settle();
  }
  expect(asked).toHaveLength(7);
  expect(pauses).toEqual(pauses.toSorted((a, b) => a - b));
  expect(item?.stage).toBe('refused');
  expect(item?.mayTryAgain).toBe(true);
});

it('prop_a_file_that_is_wrong_is_not_sent_again', async () => {
  const { asked, send } = server();
  const queue = new Queue(send, () => Promise.resolve(true));
  queue.signedIn('kim');
  const [item, empty] = queue.add([file('a.csv'), new File([], 'empty.csv')], 'kim');
  expect(empty?.stage).toBe('refused');
  expect(asked).toHaveLength(1);
  asked[0]?.fail(new ApiError(413, 'too_large', 'too large'));
  await settle();
  expect(item?.stage).toBe('refused');
  expect(item?.mayTryAgain).toBe(false);
});

it('prop_what_is_taken_back_stops_and_may_come_again', async () => {
  const { asked, send } = server();
  const queue = new Queue(send, () => Promise.resolve(true));
  queue.signedIn('kim');
  const [item] = queue.add([file('a.csv')], 'kim');
  queue.stop(item!);
  await settle();
  expect(item?.stage).toBe('stopped');
  queue.clear();
  expect(queue.items).toHaveLength(0);
  expect(asked).toHaveLength(1);
});
