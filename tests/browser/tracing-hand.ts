import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import type { DrawnPlace } from '../machines/sheet-drawing.ts';
import { openView } from './screen.ts';
import type { SheetPicture } from './sheet-picture.ts';

/** A person who traces with the mouse. Places are pixels of the picture. */
export class TracingHand {
  readonly page: Page;
  constructor(page: Page) {
    this.page = page;
  }

  get stage() {
    return this.page.getByRole('application', { name: /^Picture of the sheet/ });
  }

  get tools() {
    return this.page.getByRole('toolbar', { name: 'Tracing' });
  }

  /** A new map or turbine sheet, open for tracing. */
  async begin(what: 'New map' | 'New turbine sheet' = 'New map'): Promise<void> {
    await openView(this.page, 'Maps');
    await this.page.getByRole('button', { name: what, exact: true }).click();
    await this.page.getByRole('button', { name: /^Trace a picture/ }).click();
    await this.step('Picture');
  }

  async step(name: 'Picture' | 'Axes' | 'Trace' | 'Complete' | 'Check'): Promise<void> {
    await this.page.getByRole('tab', { name, exact: true }).click();
  }

  async openPicture(picture: Pick<SheetPicture, 'name' | 'mimeType' | 'buffer'>): Promise<void> {
    await this.page.getByLabel('Picture of the sheet', { exact: true }).setInputFiles(picture);
    await this.stage.waitFor();
    await this.stage.locator('canvas').first().waitFor();
  }

  /** Where places of the picture lie on the screen just now. */
  async onScreen(places: readonly DrawnPlace[]): Promise<DrawnPlace[]> {
    return this.stage.evaluate((stage, wanted) => {
      const matrix = stage.querySelector('svg > g')?.getAttribute('transform') ?? '';
      const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = matrix.slice(7, -1).split(' ').map(Number);
      const box = stage.getBoundingClientRect();
      return wanted.map(({ x, y }) => ({ x: box.left + a * x + c * y + e, y: box.top + b * x + d * y + f }));
    }, places);
  }

  async click(...places: readonly DrawnPlace[]): Promise<void> {
    for (const { x, y } of await this.onScreen(places)) {
      await this.page.mouse.move(x, y);
      await this.page.mouse.down();
      await this.page.mouse.up();
    }
  }

  /** Places the next axis point and types its values into the cells that the keyboard is put into. */
  async axisPoint(place: DrawnPlace, values: readonly string[]): Promise<void> {
    await this.click(place);
    const { keyboard } = this.page;
    await expect
      .poll(() => this.page.evaluate(() => document.activeElement?.closest('[role="grid"]') !== null))
      .toBe(true);
    for (const [i, value] of values.entries()) {
      await keyboard.type(value);
      await keyboard.press(i === values.length - 1 ? 'Enter' : 'Tab');
    }
  }

  /** Clicks along a line of its own kind and value; `isFirst`: the empty one that a new map has is used. */
  async speedLine(rpm: number, places: readonly DrawnPlace[], isFirst: boolean): Promise<void> {
    if (!isFirst) await this.choose('Another speed line');
    await this.tools.getByLabel(/^Speed/).fill(String(rpm));
    await this.along(places);
  }

  async island(percent: number, places: readonly DrawnPlace[]): Promise<void> {
    await this.choose('Another island');
    await this.tools.getByLabel(/^Efficiency/).fill(String(percent));
    await this.page.getByRole('radio', { name: 'Open' }).check({ force: true });
    await this.along(places);
  }

  async choose(what: string): Promise<void> {
    await this.tools.getByLabel('What is traced').selectOption({ label: what });
  }

  /** Clicks, and waits until every click stands in the table. */
  async along(places: readonly DrawnPlace[]): Promise<void> {
    await this.click(...places);
    await expect.poll(() => this.stage.locator('[data-look="current"]').count(), { interval: 20 }).toBe(places.length);
  }

  async reference(temperatureK: number, pressureKPa: number): Promise<void> {
    await this.step('Trace');
    await this.page.getByRole('tab', { name: /^Sheet/ }).click();
    await this.page.getByRole('spinbutton', { name: 'Temperature', exact: true }).fill(String(temperatureK));
    await this.page.getByRole('spinbutton', { name: 'Pressure, absolute' }).fill(String(pressureKPa));
    await this.page.keyboard.press('Tab');
  }
}
