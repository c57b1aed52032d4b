// The caution that stands on every brief, debrief and first screen. The server's `caution` says the same.

export const safetyWords =
  'A training aid for use on the ground. The aircraft’s approved flight manual, the regulations in force, the ' +
  'published standard and a licensed instructor’s judgment come first. Not for use in flight or for navigation.';
