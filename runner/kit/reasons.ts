/** Why something usually can't be done. */
export const REASONS = [
  "Cannot reach it",
  "No tool for it here",
  "Not safe to do now",
  "The part is missing",
];
