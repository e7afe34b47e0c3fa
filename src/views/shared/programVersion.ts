declare const __PROGRAM_VERSION__: string;

/** Version of the program, put in from package.json when the page is built. */
export const PROGRAM_VERSION: string = __PROGRAM_VERSION__;
