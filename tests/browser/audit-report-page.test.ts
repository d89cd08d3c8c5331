import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import axe from 'axe-core'
import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { auditReport } from '../../src/core/audit-report/audit-tally.ts'
import { auditReportPage } from '../../src/shell/pages/audit-report-page.ts'
import { openBrowser } from '../support/browser.ts'
import { HOSTILE_TEXT, hostileExaminations, REPORT_CONTEXT } from '../support/examined-resources.ts'

const folder = mkdtempSync(join(tmpdir(), 'report-page-'))
const file = join(folder, 'report.html')
let browser: Browser

beforeAll(async () => {
  browser = await openBrowser()
  const context = { ...REPORT_CONTEXT, paths: [HOSTILE_TEXT], asked: [HOSTILE_TEXT], version: HOSTILE_TEXT }
  writeFileSync(file, await auditReportPage(auditReport(hostileExaminations(), context)))
})
afterAll(async () => {
  await browser?.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Opens the page from the disk, and tells what the browser complained of and asked the network for. */
async function opened<T>(options: BrowserContextOptions, use: (page: Page) => Promise<T>) {
  const context = await browser.newContext(options)
  const complaints: string[] = []
  const requests: string[] = []
  const page = await context.newPage()
  page.on('console', (message) => complaints.push(message.text()))
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('dialog', (dialog) => complaints.push(dialog.message()))
  page.on('request', (request) => requests.push(request.url()))
  try {
    await page.goto(pathToFileURL(file).href)
    return { found: await use(page), complaints, requests }
  } finally {
    await context.close()
  }
}

const PHONE = { width: 360, height: 740 }
const DESK = { width: 1280, height: 900 }

/** Each element that reaches beyond the window. */
function tooWide(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const width = document.documentElement.clientWidth
    if (document.documentElement.scrollWidth > width) return ['the page scrolls sideways']
    return [...document.querySelectorAll('main *, header *')]
      .filter((one) => one.getClientRects().length > 0 && one.closest('thead') === null)
      .filter((one) => one.getBoundingClientRect().right > width + 1)
      .map((one) => one.tagName)
  })
}

describe.each([
  ['a phone', PHONE],
  ['a desk', DESK],
])('the report on %s', (_, viewport) => {
  it('fits the width', async () => {
    expect((await opened({ viewport }, tooWide)).found).toEqual([])
  })

  it.each(['light', 'dark'] as const)(
    'has nothing that axe objects to, in a %s scheme',
    async (colorScheme) => {
      // The page allows no script, and axe is one: the policy is set aside for it alone.
      const { found } = await opened({ viewport, colorScheme, bypassCSP: true }, async (page) => {
        await page.addScriptTag({ content: axe.source })
        return page.evaluate(async () => {
          const { violations, passes } = await (globalThis as unknown as { axe: typeof axe }).axe.run()
          return {
            violations: violations.map(
              ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`,
            ),
            contrastSeen: passes.some(({ id }) => id === 'color-contrast'),
          }
        })
      })
      expect(found).toEqual({ violations: [], contrastSeen: true })
    },
  )

  it('shows every cell of its tables beside what its column is called', async () => {
    const { found } = await opened({ viewport }, (page) =>
      page.evaluate(() =>
        [...document.querySelectorAll('tbody th, tbody td')].map((cell) => ({
          column: cell.getAttribute('data-column'),
          shown: getComputedStyle(cell, '::before').content,
          headShown: (cell.closest('table')?.querySelector('thead')?.getBoundingClientRect().height ?? 0) > 5,
        })),
      ),
    )
    expect(found.length).toBeGreaterThan(20)
    for (const { column, shown, headShown } of found) {
      expect(column).toBeTruthy()
      expect(headShown || shown === JSON.stringify(column)).toBe(true)
    }
  })
})

describe('the report in a browser', () => {
  it('asks for nothing but itself, and the browser has nothing to complain of', async () => {
    const { complaints, requests } = await opened({ viewport: DESK }, () => Promise.resolve())
    expect(complaints).toEqual([])
    expect(requests).toEqual([pathToFileURL(file).href])
  })

  it('runs nothing and builds nothing from what resources and file names say', async () => {
    const { found } = await opened({ viewport: DESK }, (page) =>
      page.evaluate(() => ({
        title: document.title,
        built: document.querySelectorAll('main script, main img, main b, main style, [onerror]').length,
        shown: document.body.textContent.includes('document.title = "taken"'),
        unseen: /[\u202a-\u202e]/.test(document.body.textContent),
        spelt: document.body.textContent.includes('‹U+202E›'),
      })),
    )
    expect(found).toEqual({
      title: 'Audit of blood pressure resources',
      built: 0,
      shown: true,
      unseen: false,
      spelt: true,
    })
  })

  it('allows no script and no style but its own, even if one got in', async () => {
    const { found } = await opened({ viewport: DESK }, async (page) => {
      await page.evaluate(() => {
        const script = document.createElement('script')
        script.textContent = 'document.title = "taken"'
        const style = document.createElement('style')
        style.textContent = 'h1 { display: none }'
        document.body.append(script, style)
      })
      return page.evaluate(() => [
        document.title,
        getComputedStyle(document.querySelector('h1') ?? document.body).display,
        getComputedStyle(document.body).maxWidth !== 'none',
      ])
    })
    expect(found).toEqual(['Audit of blood pressure resources', 'block', true])
  })

  it('says the same with JavaScript switched off', async () => {
    const text = (page: Page) => page.locator('main').textContent()
    const [off, on] = await Promise.all([
      opened({ viewport: DESK, javaScriptEnabled: false }, text),
      opened({ viewport: DESK }, text),
    ])
    expect(off.found).toBe(on.found)
    expect(off.found).toContain('134.1 mmHg')
  })

  it('leads by its contents to each part, and by each rule to its places', async () => {
    const { found } = await opened({ viewport: DESK }, (page) =>
      page.evaluate(() => {
        const targets = [...document.querySelectorAll('a[href^="#"]')].map(
          (link) => link.getAttribute('href') ?? '',
        )
        return {
          links: targets.length,
          lost: targets.filter((href) => document.querySelector(href) === null),
        }
      }),
    )
    expect(found.links).toBeGreaterThan(8)
    expect(found.lost).toEqual([])
  })

  it('prints black on white, without the contents, its table heads repeated', async () => {
    const { found } = await opened({ viewport: DESK, colorScheme: 'dark' }, async (page) => {
      await page.emulateMedia({ media: 'print' })
      return page.evaluate(() => {
        const style = (selector: string) =>
          getComputedStyle(document.querySelector(selector) ?? document.body)
        return {
          paper: style('html').backgroundColor,
          ink: style('html').color,
          contents: style('nav').display,
          head: style('thead').display,
        }
      })
    })
    expect(found).toEqual({
      paper: 'rgb(255, 255, 255)',
      ink: 'rgb(0, 0, 0)',
      contents: 'none',
      head: 'table-header-group',
    })
  })
})
