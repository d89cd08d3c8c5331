/**
 * The description of the API as a page: our own few lines around a viewer. Links are relative, so that a proxy may serve
 * the gateway under a path of its own.
 *
 * @param version of the viewer; part of its addresses, so that they may be kept for good.
 */
export function documentationPage(version: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Home blood pressure gateway: the HTTP interface</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="documentation/swagger-ui.css?v=${version}">
<link rel="stylesheet" href="documentation/page.css">
</head>
<body>
<main id="documentation">
<h1>Home blood pressure gateway: the HTTP interface</h1>
<p>Without JavaScript, read the description itself: <a href="openapi.json">openapi.json</a>, OpenAPI 3.1.</p>
</main>
<script src="documentation/swagger-ui-bundle.js?v=${version}"></script>
<script src="documentation/page.js"></script>
</body>
</html>
`
}

/** Starts the viewer. It asks nobody else to judge the document, and keeps no key when the page is left. */
export const PAGE_SCRIPT = `SwaggerUIBundle({
  url: 'openapi.json',
  domNode: document.getElementById('documentation'),
  presets: [SwaggerUIBundle.presets.apis],
  deepLinking: true,
  validatorUrl: null,
  persistAuthorization: false,
  defaultModelsExpandDepth: 0,
  docExpansion: 'list',
})
`

/** What the viewer’s own style sheet lacks on a small screen and for those who need contrast. */
export const PAGE_STYLE = `body { margin: 0; background: #fff; }
#documentation { overflow-wrap: anywhere; }
`

/**
 * What the page may load: scripts of this gateway alone and none in the page; styles the viewer writes into elements;
 * images it carries in its style sheet. It may ask this gateway and nobody else.
 * Source: W3C Content Security Policy Level 3.
 */
export const PAGE_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ')
