import { html, raw } from 'hono/html'
import { PAGE_STYLE, PAGE_STYLE_HASH } from './page-style.ts'

/** A piece of a page. Whatever is put into the template is escaped, but for pieces made the same way. */
export type Html = ReturnType<typeof html>

interface PageParts {
  readonly title: string
  /** What made the page, told in its head: `home-bp-gateway report`. */
  readonly generator: string
  readonly header: Html
  readonly main: Html
  readonly footer: Html
}

/** A whole page that needs nothing else: no script, no font, no image, and a policy that allows none. */
export async function pageFrame({ title, generator, header, main, footer }: PageParts): Promise<string> {
  const page = await html`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<meta name="robots" content="noindex">
<meta name="generator" content="${generator}">
<title>${title}</title>
<style>${raw(PAGE_STYLE)}</style>
</head>
<body>
<a class="skip" href="#main">To the content</a>
<header>${header}</header>
<main id="main">${main}</main>
<footer>${footer}</footer>
</body>
</html>
`
  return page.toString()
}

const POLICY = `default-src 'none'; style-src '${PAGE_STYLE_HASH}'; base-uri 'none'; form-action 'none'`
