import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { buildToFile } from '../../src/build/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { closeCleanly, dropFile, openApp, openBrowser } from './harness.ts';
import { openBuildName, openView } from './screen.ts';

/** Somebody else's server: it notes who asks. */
let foreign: Server;
let asked: string[] = [];
let address = '';

beforeAll(async () => {
  foreign = createServer((request, response) => {
    asked.push(request.url ?? '');
    response.setHeader('Access-Control-Allow-Origin', '*');
    response.end('window.foreign = true');
  });
  await new Promise<void>((resolve) => foreign.listen(0, '127.0.0.1', resolve));
  address = `http://127.0.0.1:${(foreign.address() as AddressInfo).port}`;
});
afterAll(() => void foreign.close());

describe('what comes from elsewhere', () => {
  it('is refused by the browser itself: image, script, inline script, style, fetch, socket, worker, frame and form', async () => {
    const session = await openApp();
    const { page } = session;
    asked = [];
    const refused = await page.evaluate(async (host) => {
      const seen: string[] = [];
      document.addEventListener('securitypolicyviolation', (event) => seen.push(event.effectiveDirective));
      const put = (tag: string, attributes: Record<string, string>, text = '') => {
        const element = document.createElement(tag);
        for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
        element.textContent = text;
        document.body.append(element);
        return element;
      };
      put('img', { src: `${host}/image.png` });
      put('script', { src: `${host}/script.js` });
      put('script', {}, 'window.foreign = true');
      put('link', { rel: 'stylesheet', href: `${host}/style.css` });
      put('iframe', { src: `${host}/frame.html` });
      put('object', { data: `${host}/object` });
      put('base', { href: host });
      const button = put('button', { onclick: 'window.foreign = true' }) as HTMLButtonElement;
      button.click();
      const form = put('form', { action: `${host}/form`, method: 'post' }) as HTMLFormElement;
      form.submit();
      await fetch(`${host}/fetch`).catch(() => undefined);
      try {
        new WebSocket(host.replace('http', 'ws'));
      } catch {
        seen.push('connect-src');
      }
      try {
        new Worker(`${host}/worker.js`);
      } catch {
        seen.push('worker-src');
      }
      // A text to be run; the tool that drives this test may itself evaluate texts, a timer of the page may not.
      const later: (code: string) => unknown = setTimeout;
      later('window.foreign = true');
      await new Promise((resolve) => setTimeout(resolve, 1000));
      return { seen: [...new Set(seen)].sort(), ran: 'foreign' in window, at: location.href };
    }, address);
    expect(refused.ran).toBe(false);
    expect(refused.at).toBe(inject('appUrl'));
    expect(asked).toEqual([]);
    for (const directive of [
      'base-uri',
      'connect-src',
      'form-action',
      'frame-src',
      'img-src',
      'object-src',
      'script-src',
      'script-src-attr',
      'script-src-elem',
      'style-src-elem',
      'worker-src',
    ])
      expect(refused.seen).toContain(directive);
    await session.context.close();
  });

  it('in the texts of a file stays text', async () => {
    const session = await openApp();
    const { page } = session;
    asked = [];
    const hostile = `<img src="${address}/x" onerror="window.foreign = true"><script>window.foreign = true</script>`;
    const build = { ...buildToFile(buildWithMap('hostile')), name: hostile, notes: hostile };
    await dropFile(page, 'hostile.json', JSON.stringify(build));
    await expect.poll(() => openBuildName(page)).toBe(hostile);
    for (const view of ['Altitude', 'Maps', 'Sheet', 'Match'] as const) await openView(page, view);
    expect(await page.evaluate(() => 'foreign' in window)).toBe(false);
    expect(asked).toEqual([]);
    await closeCleanly(session);
  });

  it('cannot frame the page', async () => {
    const context = await (await openBrowser()).newContext();
    const page = await context.newPage();
    await page.goto(address);
    await page.setContent(`<iframe src="${inject('appUrl')}"></iframe>`);
    await page.waitForTimeout(1500);
    const inside = page.frames()[1];
    expect(await inside?.locator('#root').count()).toBe(0);
    await context.close();
  });
});
