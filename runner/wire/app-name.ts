/** What writes run records, with its version: the name and version of package.json. */
export const APP = "probewright 0.1.0";
