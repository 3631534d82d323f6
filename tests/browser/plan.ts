import type { Page } from 'playwright-core';

/**
 * A plan is on screen, and no longer changes: the search for a better one is cut as soon as there is a first. For tests
 * that need a plan and not the best one: a whole search takes as long as the computer is busy.
 */
export async function havePlan(page: Page): Promise<void> {
  const ended = page.getByRole('button', { name: 'Plan again' });
  const running = page.getByRole('button', { name: 'Keep this plan' });
  // What is proven of a plan stands beside each plan, and beside no other thing.
  await page.getByTestId('bound').waitFor({ timeout: 120_000 });
  // The search may end by itself while it is being stopped.
  if (await running.isVisible()) await running.click({ timeout: 5000 }).catch(() => undefined);
  await ended.waitFor({ timeout: 120_000 });
}

/** Ends the search where one still runs; it may end by itself meanwhile. */
export const keepPlan = async (page: Page): Promise<void> => {
  const keep = page.getByRole('button', { name: 'Keep this plan' });
  if (await keep.count()) await keep.click({ timeout: 2_000 }).catch(() => undefined);
};
