// The one queue of files, for as long as the pages are open.
import { announce } from '../shared/announce.svelte';
import { api } from '../shared/api/api';
import { ApiError } from '../shared/api/http';
import { count } from '../shared/format';
import { session } from '../shared/session.svelte';
import { Queue } from './queue.svelte';

export const queue = new Queue(
  (file, options) => api.bringIn(file, {}, options),
  async () => {
    try {
      await api.me();
      return true;
    } catch (error) {
      if (error instanceof ApiError && error.status === 401) return false;
      throw error;
    }
  },
);

queue.arrived = ({ recording, known, lessons }) => {
  announce(
    known
      ? `${recording.name} was here before`
      : `${recording.name} is here: ${count(lessons.length, 'lesson')}`,
  );
};

// Not tied to a page: files go on while somebody reads a lesson, and wait while nobody is signed in.
$effect.root(() => {
  $effect(() => {
    queue.signedIn(session.ended || session.me == null ? null : session.me.person.id);
  });
  $effect(() => {
    if (!queue.items.some((item) => item.pending)) return;
    const ask = (event: BeforeUnloadEvent) => {
      event.preventDefault();
    };
    window.addEventListener('beforeunload', ask);
    return () => {
      window.removeEventListener('beforeunload', ask);
    };
  });
});
