import { chromium } from 'playwright-core';
import { findChromium } from '../electron/local/browsers.mjs';

/** The Chromium of this machine, or null; BATHTIDE_CHROMIUM overrides. */
export const chromiumPath: string | null = findChromium();
/** For `context.skip(...)`; the summary of `npm test` shows it. */
export const NO_CHROMIUM = 'not run: no Chromium at BATHTIDE_CHROMIUM or on the search path';

/** Chromium without any talk of its own to the outside. Call only where `chromiumPath` is set. */
export const launchChromium = () =>
  chromium.launch({
    executablePath: chromiumPath ?? undefined,
    args: [
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-quic',
      '--disable-sync',
      '--no-first-run',
    ],
  });

/** What another colour scheme of the same page can break: of axe's rules, those about colours. */
export const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];
