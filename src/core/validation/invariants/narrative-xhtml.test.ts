import { describe, expect, it } from 'vitest'
import { hasContent, isPlainXhtml } from './narrative-xhtml.ts'

const div = (inside: string) => `<div xmlns="http://www.w3.org/1999/xhtml">${inside}</div>`

describe('plain xhtml', () => {
  it.each([
    'text',
    '<p>one</p><p>two &amp; three &#160; &#x2264; &lt; &apos;</p>',
    '<table class="a"><tr><td colspan="2">134</td></tr></table>',
    '<a href="https://a.example/">a</a><br/><img src="#i" alt="an image"/>',
    '<!-- a comment --><b><i>nested</i></b>',
    "<span title='single'>quotes</span>",
    '<p title="a ]]&gt; ]]> b">&#x10FFFF; &#9; ]]&gt;</p>',
    '<!-- a & b ]]> -->x',
    '<img src="data:image/png;base64,iVBO" alt="a"/>',
    '<a href="https://a.example/?q=javascript:&amp;b">a</a>',
    '<p>\u{1F60A}</p>',
    '<img src="#i" alt="an image" usemap="#m" ismap="ismap"/><map name="m"><area nohref="nohref" alt="a"/></map>',
  ])('allows %s', (inside) => {
    expect(isPlainXhtml(div(inside))).toBe(true)
    expect(isPlainXhtml(`\n ${div(inside)} `)).toBe(true)
  })

  it.each([
    '<script>1</script>',
    '<p onclick="a()">x</p>',
    '<a href="javascript:a()">x</a>',
    '<a href=" JavaScript:a()">x</a>',
    '<a href="&#106;avascript:a()">x</a>',
    '<a href="java&#9;script:a()">x</a>',
    '<a href="java\tscript:a()">x</a>',
    '<a href="&#xA;&#32;java\nscript&#58;a()">x</a>',
    '<a href="vb&#x0D;script:a()">x</a>',
    '<a href="data:text/html;base64,PHNjcmlwdD4=">x</a>',
    '<img src="data&#58;text/html,x" alt="a"/>',
    '<blockquote cite="javascript:a()">x</blockquote>',
    '<p class="a" class="b">x</p>',
    'a &#0; b',
    'a &#8; b',
    'a &#x110000; b',
    'a &#9999999; b',
    'a &#xD800; b',
    'a &#xFFFE; b',
    '<p title="&#0;">x</p>',
    'a \u0000 b',
    'a \ud800 b',
    'a ]]> b',
    '<form>x</form>',
    '<iframe src="a">x</iframe>',
    '<link rel="stylesheet"/>',
    '<ins>x</ins>',
    '<del>x</del>',
    ...'center dir font s strike u'.split(' ').map((deprecated) => `<${deprecated}>x</${deprecated}>`),
    '<p>not closed',
    '<b><i>crossed</b></i>',
    'a & b',
    'a &nosuch b',
    '134&nbsp;mmHg',
    '<a href="#&copy;">x</a>',
    '1 < 2',
    '<p class=bare>x</p>',
    '</div><div>',
    '<![CDATA[x]]>',
    '<?xml version="1.0"?>',
  ])('refuses %s', (inside) => {
    expect(isPlainXhtml(div(inside))).toBe(false)
  })

  it.each([
    '',
    'text',
    '<p xmlns="http://www.w3.org/1999/xhtml">x</p>',
    '<div>no namespace</div>',
    '<div xmlns="http://www.w3.org/1999/html">x</div>',
    `${div('one')}${div('two')}`,
    `before${div('x')}`,
    `${div('x')}after`,
    `<!DOCTYPE html>${div('x')}`,
  ])('refuses "%s" as a whole', (text) => {
    expect(isPlainXhtml(text)).toBe(false)
  })

  it('judges a megabyte, good or bad, without delay', () => {
    expect(isPlainXhtml(div(`<p>${'a '.repeat(500_000)}</p>`))).toBe(true)
    expect(isPlainXhtml(div(`<!-- ${'a '.repeat(500_000)} -->x`))).toBe(true)
    expect(isPlainXhtml(div('<b>'.repeat(300_000)))).toBe(false)
    expect(isPlainXhtml(div(`<p ${'a="b" '.repeat(150_000)}`))).toBe(false)
    expect(isPlainXhtml(div(`<p${' '.repeat(1_000_000)}`))).toBe(false)
    expect(isPlainXhtml(div('&#65;'.repeat(200_000)))).toBe(true)
    expect(hasContent('<!--'.repeat(250_000))).toBe(true)
    expect(hasContent(div('<!-- a > b -->'.repeat(100_000)))).toBe(false)
    expect(hasContent('<'.repeat(1_000_000))).toBe(true)
    expect(hasContent('>'.repeat(1_000_000))).toBe(true)
    expect(hasContent(div('&nbsp;'.repeat(150_000)))).toBe(false)
  })
})

describe('content', () => {
  it.each([div('x'), div('<p>x</p>'), div('<img src="#i"/>'), div('<p> </p><b>1</b>'), div('&lt;')])(
    'is in %s',
    (text) => {
      expect(hasContent(text)).toBe(true)
    },
  )

  it.each([
    div(''),
    div(' \n '),
    div('<p></p><br/>'),
    div('&#160; &nbsp;'),
    div('<!-- a > b -->'),
    div('<!-- <img src="#i"/> --> '),
  ])('is not in %s', (text) => {
    expect(hasContent(text)).toBe(false)
  })
})
