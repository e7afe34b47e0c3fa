import { configure, prettyDOM } from '@testing-library/react';
import * as React from 'react';
import { answerQuickly } from './quick-page.ts';

/** The page as text, for the reader of a failure: made when it is read, not each time that something has not appeared yet. */
function elementError(message: string | null, container: Element): Error {
  const error = new Error();
  error.name = 'TestingLibraryElementError';
  Object.defineProperty(error, 'message', {
    configurable: true,
    get: () => [message, prettyDOM(container)].filter(Boolean).join('\n\n'),
  });
  Error.captureStackTrace(error, elementError);
  return error;
}

configure({
  // How long a test waits for something to appear. Not a claim about speed: a machine may be slow, and both its cores busy.
  asyncUtilTimeout: 60_000,
  getElementError: elementError,
});

// React looks up where each of the first ten thousand elements in a second was made, for its warnings: they name the component all the same.
const internals = Object.entries(React).find(([name]) => name.startsWith('__CLIENT_INTERNALS'))?.[1] as object;
Object.defineProperty(internals, 'recentlyCreatedOwnerStacks', {
  configurable: true,
  get: () => 10_000,
  set: () => {},
});

answerQuickly(document.defaultView!);
