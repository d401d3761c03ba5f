/** The program with its version, as `--version` says it and records tell it. */
export const APP = "probewright 0.1.0";
