import axe from 'axe-core'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CAUTION } from '../../src/core/clinical/report/caution.ts'
import { operationsOf } from '../support/api-description.ts'
import { ask } from '../support/ask.ts'
import { openBrowser } from '../support/browser.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'

let browser: Browser
let door: OpenDoor

beforeAll(async () => {
  door = await openDoor()
  browser = await openBrowser()
})
afterAll(async () => {
  await browser?.close()
  await door.close()
})

/** Opens the page, and tells what the browser complained of and whom it asked. */
async function opened<T>(width: number, use: (page: Page) => Promise<T>, bypassCSP = false) {
  const context = await browser.newContext({ viewport: { width, height: 900 }, bypassCSP })
  const complaints: string[] = []
  const requests: string[] = []
  const page = await context.newPage()
  page.on('console', (message) => complaints.push(message.text()))
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('requestfailed', (request) => complaints.push(`failed: ${request.url()}`))
  page.on('request', (request) => requests.push(request.url()))
  try {
    await page.goto(`${door.url}/documentation`)
    await page.locator('.opblock').first().waitFor()
    return { found: await use(page), complaints, requests }
  } finally {
    await context.close()
  }
}

describe.each([
  ['a phone', 360],
  ['a desk', 1280],
])('the documentation on %s', (_, width) => {
  it('shows every operation and the caution, without a complaint, asking this gateway alone', async () => {
    const { found, complaints, requests } = await opened(width, async (page) => ({
      operations: await page.locator('.opblock').count(),
      caution: await page.locator('.info').textContent(),
      sideways: await page.evaluate(
        () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
      ),
    }))
    const { json } = await ask(door.url, '/openapi.json')
    expect(found.operations).toBe(operationsOf(json as Parameters<typeof operationsOf>[0]).length)
    expect(found.caution).toContain(CAUTION)
    expect(found.sideways).toBe(false)
    expect(complaints).toEqual([])
    const asked = requests.filter((url) => !url.startsWith('data:'))
    expect(asked.length).toBeGreaterThan(4)
    expect(asked.filter((url) => !url.startsWith(`${door.url}/`))).toEqual([])
  })

  it('shows what is sent and what is answered', async () => {
    const { found, complaints } = await opened(width, async (page) => {
      await page.locator('#operations-sessions-sendSessions .opblock-summary-control').click()
      await page.locator('#operations-sessions-sendSessions .responses-wrapper').waitFor()
      return page.locator('#operations-sessions-sendSessions').textContent()
    })
    expect(found).toContain('hw-1002-001')
    expect(found).toContain('One session')
    expect(complaints).toEqual([])
  })

  // The viewer puts a link into the button of each operation, in its own markup: that one is not ours to mend.
  it('has nothing of ours that axe calls serious or critical', async () => {
    const { found } = await opened(
      width,
      async (page) => {
        await page.addScriptTag({ content: axe.source })
        return page.evaluate(async () => {
          const { violations, passes } = await (globalThis as unknown as { axe: typeof axe }).axe.run()
          return {
            passed: passes.length,
            violations: violations.flatMap(({ id, impact, nodes }) =>
              id !== 'nested-interactive' && (impact === 'serious' || impact === 'critical')
                ? nodes.map(({ target, html }) => `${id} ${target.join(' ')} ${html.slice(0, 120)}`)
                : [],
            ),
          }
        })
      },
      true,
    )
    expect(found.passed).toBeGreaterThan(10)
    expect(found.violations).toEqual([])
  })
})

it('runs no script and loads nothing but its own, even if one got in', async () => {
  const { found } = await opened(1280, async (page) => {
    await page.evaluate(() => {
      const script = document.createElement('script')
      script.textContent = 'document.title = "taken"'
      document.body.append(script)
    })
    return page.title()
  })
  expect(found).not.toBe('taken')
})
