import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const USUAL_PATHS = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
]

/** Chromium as the system has it; `CHROMIUM_PATH` names another. */
export async function openBrowser(): Promise<Browser> {
  const named = process.env.CHROMIUM_PATH
  const executablePath = named ?? USUAL_PATHS.find((path) => existsSync(path))
  if (executablePath === undefined || !existsSync(executablePath)) {
    throw new Error(
      'The tests of the pages need Chromium. Install it, on Debian with "apt-get install chromium", ' +
        'or set CHROMIUM_PATH to the browser’s executable.',
    )
  }
  // Containers seldom let the browser make a sandbox of its own; it opens nothing but our own page.
  return chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-dev-shm-usage'] })
}
