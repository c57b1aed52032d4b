// The story of a maneuver as numbered events, in order of time; the same numbers stand under the axis.

import type { FlightEvent, Maneuver } from './document';
import { tidy, withSigma } from './numbers';
import { plainId } from './names';

export interface StoryEvent {
  /** From 1. */
  readonly number: number;
  readonly at_s: number;
  /** What, with its numbers. */
  readonly words: string;
  /** What, without any number: for a sheet that asks first. */
  readonly name: string;
  /** Id of the event. */
  readonly event: string;
}

/** The story, with events that it leaves out, numbered. */
export function storyOf(maneuver: Maneuver): StoryEvent[] {
  const told = maneuver.story.map((line) => ({
    at_s: line.at_s,
    words: tidy(line.text.trim().replace(/\.$/, '')),
    event: line.event,
  }));
  const untold = maneuver.events
    .map((event, index) => ({ event, index }))
    .filter(
      ({ event }) =>
        !told.some((line) => line.event === event.name && Math.abs(line.at_s - event.at_s) < 0.5),
    )
    .map(({ event, index }) => ({
      at_s: event.at_s,
      words: eventWords(maneuver, index, event),
      event: event.name,
    }));
  return [...told, ...untold]
    .filter((line) => Number.isFinite(line.at_s))
    .sort((a, b) => a.at_s - b.at_s)
    .map((line, index) => ({ number: index + 1, name: plainId(line.event), ...line }));
}

/** An event in words; one whose name repeats is counted: `flaps down, 2 of 3`. */
function eventWords(maneuver: Maneuver, index: number, event: FlightEvent): string {
  const all = maneuver.events.filter((other) => other.name === event.name).length;
  const before = maneuver.events.slice(0, index).filter((other) => other.name === event.name).length;
  const parts = [plainId(event.name)];
  if (all > 1) parts.push(`${String(before + 1)} of ${String(all)}`);
  if (event.value && Number.isFinite(event.value.value)) {
    parts.push(withSigma(event.value.value, event.value.sigma, event.value.unit));
  }
  if (event.probability < 0.5) parts.push('perhaps');
  return parts.join(', ');
}

/** The line of the story at a time: the last event that is not later; before the first, the first. */
export function lineAt(story: readonly StoryEvent[], t: number): number {
  // A tenth of a second is the step of the cursor: an event reached by it counts as reached.
  const index = story.findLastIndex((line) => line.at_s <= t + 0.05);
  return Math.max(index, 0);
}
