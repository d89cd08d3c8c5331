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

/** The page as one person has it open, what the browser complained of, and whom it asked. */
interface OpenPage {
  readonly page: Page
  readonly complaints: readonly string[]
  readonly requests: readonly string[]
  close(): Promise<void>
}

async function opened(width: number): Promise<OpenPage> {
  const context = await browser.newContext({ viewport: { width, height: 900 } })
  const complaints: string[] = []
  const requests: string[] = []
  const page = await context.newPage()
  page.on('console', (message) => complaints.push(message.text()))
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('requestfailed', (request) => complaints.push(`failed: ${request.url()}`))
  page.on('request', (request) => requests.push(request.url()))
  await page.goto(`${door.url}/documentation`)
  await page.locator('.opblock').first().waitFor()
  return { page, complaints, requests, close: () => context.close() }
}

describe.each([
  ['a phone', 360],
  ['a desk', 1280],
])('the documentation on %s', (_, width) => {
  let open: OpenPage
  beforeAll(async () => {
    open = await opened(width)
  })
  afterAll(() => open?.close())

  it('shows every operation and the caution, without a complaint, asking this gateway alone', async () => {
    const { page, complaints, requests } = open
    const sideways = await page.evaluate(
      () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
    )
    const { json } = await ask(door.url, '/openapi.json')
    expect(await page.locator('.opblock').count()).toBe(
      operationsOf(json as Parameters<typeof operationsOf>[0]).length,
    )
    expect(await page.locator('.info').textContent()).toContain(CAUTION)
    expect(sideways).toBe(false)
    expect(complaints).toEqual([])
    const asked = requests.filter((url) => !url.startsWith('data:'))
    expect(asked.length).toBeGreaterThan(4)
    expect(asked.filter((url) => !url.startsWith(`${door.url}/`))).toEqual([])
  })

  // The viewer puts a link into the button of each operation, in its own markup: that one is not ours to mend.
  it('has nothing of ours that axe calls serious or critical', async () => {
    // The page lets no script in; what the browser's own tools run is not one.
    await open.page.evaluate(axe.source)
    const found = await open.page.evaluate(async () => {
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
    expect(found.passed).toBeGreaterThan(10)
    expect(found.violations).toEqual([])
  })

  it('shows what is sent and what is answered', async () => {
    const operation = open.page.locator('#operations-sessions-sendSessions')
    await operation.locator('.opblock-summary-control').click()
    await operation.locator('.responses-wrapper').waitFor()
    const shown = await operation.textContent()
    expect(shown).toContain('hw-1002-001')
    expect(shown).toContain('One session')
    expect(open.complaints).toEqual([])
  })
})

it('runs no script and loads nothing but its own, even if one got in', async () => {
  const { page, close } = await opened(1280)
  try {
    await page.evaluate(() => {
      const script = document.createElement('script')
      script.textContent = 'document.title = "taken"'
      document.body.append(script)
    })
    expect(await page.title()).not.toBe('taken')
  } finally {
    await close()
  }
})
