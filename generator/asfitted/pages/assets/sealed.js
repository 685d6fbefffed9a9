/* Opens a sealed edition in the browser's own cryptography: PBKDF2-HMAC-SHA256, AES-256-GCM, then a zip archive, as
   docs/sealed.md has it. Nothing is sent and nothing is stored; whoever closes or reloads the page seals it again.
   The pages in the archive are shown as they were built. What the theme's scripts would do for them, which need an
   address of their own for every page, is done here: links, search, menu by keyboard, light and dark. */
(function () {
  "use strict";
  const BASE = "https://sealed.invalid/"; // names no host: relative addresses are worked out against it
  const KINDS = { ics: "text/calendar", jpeg: "image/jpeg", jpg: "image/jpeg", pdf: "application/pdf", png: "image/png", svg: "image/svg+xml", webp: "image/webp" };
  const MOST = 20; // results of a search
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const read = (id) => JSON.parse(document.getElementById(id).textContent);
  const part = (id) => document.getElementById(id);
  const words = read("words");
  let say = inLanguage(navigator.languages || [navigator.language]);
  let archive = null, index = null, scheme = null, shown = null, turns = 0;
  let addresses = [], heard = [];
  const worn = new Set();

  function inLanguage(asked) {
    for (const one of asked) {
      const code = String(one).slice(0, 2).toLowerCase();
      const known = code === "no" || code === "nn" ? "nb" : code;
      if (words[known]) return { lang: known, ...words[known] };
    }
    return { lang: "en", ...words.en };
  }

  /* ---------------------------------------------------------------- opening */
  function bytes(base64) {
    return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  }

  async function unsealed(sealed, passphrase) {
    const coder = new TextEncoder();
    const phrase = coder.encode(passphrase.normalize("NFKC").replace(/^ +| +$/g, ""));
    const base = await crypto.subtle.importKey("raw", phrase, "PBKDF2", false, ["deriveKey"]);
    const derivation = { name: "PBKDF2", hash: "SHA-256", salt: bytes(sealed.salt), iterations: sealed.iterations };
    const key = await crypto.subtle.deriveKey(derivation, base, { name: "AES-GCM", length: 256 }, false, ["decrypt"]);
    const bound = coder.encode(`asfitted sealed ${sealed.format} ${sealed.derivation} ${sealed.iterations}`);
    const cipher = { name: "AES-GCM", iv: bytes(sealed.nonce), additionalData: bound, tagLength: 128 };
    return new Uint8Array(await crypto.subtle.decrypt(cipher, key, bytes(sealed.content)));
  }

  /* A zip archive read from the directory at its end (its format is published as APPNOTE.TXT, 4.3). */
  function unpacked(zip) {
    const view = new DataView(zip.buffer, zip.byteOffset, zip.byteLength);
    const entries = new Map();
    let end = zip.length - 22;
    while (view.getUint32(end, true) !== 0x06054b50) end -= 1;
    let at = view.getUint32(end + 16, true);
    for (let left = view.getUint16(end + 10, true); left > 0; left -= 1) {
      const length = view.getUint16(at + 28, true), local = view.getUint32(at + 42, true);
      const name = new TextDecoder().decode(zip.subarray(at + 46, at + 46 + length));
      const start = local + 30 + view.getUint16(local + 26, true) + view.getUint16(local + 28, true);
      entries.set(name, { deflated: view.getUint16(at + 10, true) === 8, data: zip.subarray(start, start + view.getUint32(at + 20, true)) });
      at += 46 + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    }
    return entries;
  }

  async function file(name) {
    const entry = archive.get(name);
    const stream = new Blob([entry.data]).stream();
    const plain = entry.deflated ? stream.pipeThrough(new DecompressionStream("deflate-raw")) : stream;
    return new Response(plain).arrayBuffer();
  }

  async function text(name) {
    return new TextDecoder().decode(await file(name));
  }

  /* ---------------------------------------------------------------- asking */
  function ask() {
    const form = part("seal"), field = part("passphrase"), trouble = part("trouble"), doing = part("doing");
    let busy = false;
    document.documentElement.lang = say.lang;
    document.title = say.title;
    document.querySelectorAll("[data-say]").forEach((place) => { place.textContent = say[place.dataset.say]; });

    function complain(about) {
      trouble.textContent = say[about];
      field.setAttribute("aria-invalid", "true");
      field.focus();
      field.select();
    }

    part("show").addEventListener("change", (event) => { field.type = event.target.checked ? "text" : "password"; });
    field.addEventListener("input", () => { trouble.textContent = ""; field.removeAttribute("aria-invalid"); });
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (busy) return;
      trouble.textContent = "";
      if (!field.value.trim()) return complain("empty");
      busy = true;
      doing.textContent = say.opening;
      try {
        archive = unpacked(await unsealed(read("sealed"), field.value));
        field.value = "";
        await show();
        document.addEventListener("click", follow);
        addEventListener("popstate", show);
      } catch (reason) {
        complain(reason.name === "OperationError" ? "wrong" : "damaged");
      }
      doing.textContent = "";
      busy = false;
    });
    busy = !isSecureContext || !crypto.subtle || typeof DecompressionStream === "undefined";
    if (busy) complain(isSecureContext ? "old" : "insecure");
    else field.focus();
  }

  /* ---------------------------------------------------------------- showing */
  /* The address bar holds a place within a page alone, as the scripts of the site expect; the page stands beside it. */
  function lead(one, name, anchor) {
    one.setAttribute(one.hasAttribute("xlink:href") ? "xlink:href" : "href", "#" + (anchor || ""));
    one.dataset.page = name;
  }

  function follow(event) {
    const one = event.target.closest("[data-page]");
    if (!one || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const anchor = (one.getAttribute("href") || one.getAttribute("xlink:href")).slice(1);
    history.pushState({ page: one.dataset.page }, "", anchor ? "#" + anchor : location.pathname + location.search);
    show();
  }

  async function show() {
    const asked = history.state && history.state.page;
    const name = archive.has(asked) ? asked : "index.html";
    if (name === shown) return arrive();
    const turn = (turns += 1);
    const page = new DOMParser().parseFromString(await text(name), "text/html");
    const scripts = await Promise.all(inside(page, "script[src]", "src", name).filter((one) => /^assets\/[^/]+\.js$/.test(one)).map(text));
    const styles = inside(page, "link[rel=stylesheet]", "href", name).filter((one) => !worn.has(one));
    const sheets = await Promise.all(styles.map(text));
    page.querySelectorAll("script").forEach((one) => one.remove());
    const made = await settle(page, name);
    if (turn !== turns) return made.forEach((one) => URL.revokeObjectURL(one));
    leave();
    addresses = made;
    if (!worn.size) document.querySelector("style").remove();
    sheets.forEach((sheet) => document.head.append(element("style", { textContent: sheet })));
    styles.forEach((one) => worn.add(one));
    say = inLanguage([page.documentElement.lang]);
    Object.assign(document.documentElement, { lang: page.documentElement.lang, className: page.documentElement.className.replace("no-js", "js") });
    document.title = page.title;
    document.body.replaceWith(document.adoptNode(page.body));
    shown = name;
    equip();
    scripts.forEach(run);
    arrive();
  }

  function inside(page, selector, attribute, name) {
    const named = (one) => new URL(one.getAttribute(attribute), BASE + name).href.slice(BASE.length);
    return [...page.querySelectorAll(selector)].map(named).filter((one) => archive.has(one));
  }

  /* Let every link and picture of a page that is not shown yet lead into the archive; gives the addresses made. */
  async function settle(page, name) {
    const made = [];
    async function blob(of) {
      const end = of.split(".").pop();
      made.push(URL.createObjectURL(new Blob([await file(of)], { type: KINDS[end] || "application/octet-stream" })));
      return made[made.length - 1];
    }
    for (const one of page.querySelectorAll("a, img")) {
      const attribute = ["href", "src", "xlink:href"].find((known) => one.hasAttribute(known));
      const url = attribute && new URL(one.getAttribute(attribute), BASE + name);
      if (!url || !url.href.startsWith(BASE)) continue;
      const of = decodeURIComponent(url.pathname.slice(1));
      if (!archive.has(of)) one.removeAttribute(attribute);
      else if (of.endsWith(".html")) lead(one, of, url.hash.slice(1));
      else {
        one.setAttribute(attribute, await blob(of));
        if (of.endsWith(".ics")) one.setAttribute("download", of.split("/").pop());
        else if (attribute !== "src") one.setAttribute("target", "_blank");
      }
    }
    return made;
  }

  /* Run a script of the site for the page now shown, and remember what it listens to beyond the page. */
  function run(source) {
    const both = [window, document];
    for (const one of both) {
      one.addEventListener = (...what) => { heard.push([one, what]); EventTarget.prototype.addEventListener.apply(one, what); };
    }
    const script = element("script", { textContent: source });
    document.head.append(script);
    script.remove();
    for (const one of both) delete one.addEventListener;
  }

  function leave() {
    heard.forEach(([one, what]) => one.removeEventListener(...what));
    addresses.forEach((one) => URL.revokeObjectURL(one));
    heard = [];
  }

  function arrive() {
    const anchor = decodeURIComponent(location.hash.slice(1));
    for (const id of ["__drawer", "__search"]) if (part(id)) part(id).checked = false;
    const place = (anchor && part(anchor)) || document.querySelector("h1") || document.body;
    const folded = place.closest("details");
    if (folded) folded.open = true;
    if (place.tabIndex < 0) Object.assign(place, { tabIndex: -1 }).style.outline = "none"; // no control, so no ring
    place.style.scrollMarginTop = "4.5rem"; // clear of the theme's header
    place.focus({ preventScroll: true });
    if (anchor) place.scrollIntoView();
    else scrollTo(0, 0);
    dispatchEvent(new HashChangeEvent("hashchange"));
  }

  /* ---------------------------------------------------------------- what the page can do */
  function element(name, properties, ...children) {
    const made = Object.assign(document.createElement(name), properties);
    made.append(...children);
    return made;
  }

  function equip() {
    paint();
    document.querySelectorAll('label[for="__drawer"].md-header__button, label[for="__search"].md-header__button').forEach((label) => {
      // A label that switches a hidden box cannot be reached by keyboard; a button in its place can.
      const named = label.title || say.search, box = label.control;
      const button = element("button", { type: "button", className: label.className, title: named, ariaLabel: named }, ...label.childNodes);
      button.setAttribute("for", label.htmlFor); // what the theme's styles go by
      button.addEventListener("click", () => box.click());
      label.replaceWith(button);
    });
    document.querySelectorAll("[name=__palette]").forEach((choice) => {
      choice.addEventListener("change", () => { scheme = choice.dataset.mdColorScheme; paint(); });
    });
    const field = document.querySelector(".md-search__input");
    if (field) seek(field);
    const close = element("button", { className: "button", type: "button", textContent: say.again });
    close.style.cssText = "border: 0; cursor: pointer; font: inherit; font-weight: 650";
    close.addEventListener("click", () => { history.replaceState(null, "", location.pathname + location.search); location.reload(); });
    (document.querySelector(".md-footer-meta__inner") || document.body).append(element("p", { className: "md-copyright" }, close));
  }

  function paint() {
    const now = scheme || (dark.matches ? "slate" : "default");
    document.body.setAttribute("data-md-color-scheme", now);
    document.querySelectorAll("[name=__palette]").forEach((choice) => {
      choice.checked = choice.dataset.mdColorScheme === now;
      if (choice.nextElementSibling) choice.nextElementSibling.hidden = !choice.checked;
    });
  }

  /* ---------------------------------------------------------------- search */
  const folded = (words) => words.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const spaced = (words) => " " + folded(words).replace(/[^\p{L}\p{N}]+/gu, " ") + " ";
  const plain = (html) => new DOMParser().parseFromString(html, "text/html").body.textContent.replace(/\s+/g, " ").trim();

  async function found(asked) {
    if (!index) {
      index = JSON.parse(await text("search/search_index.json")).docs.map((doc) => {
        const [title, body] = [plain(doc.title), plain(doc.text)];
        return { location: doc.location, title, body, inTitle: spaced(title), inBody: spaced(body) };
      });
      const pages = new Map(index.map((doc) => [doc.location, doc.title]));
      index.forEach((doc) => { doc.page = pages.get(doc.location.split("#")[0]); });
      // A page whose heading says the same as its title stands there twice.
      const headings = new Set(index.filter((doc) => doc.location.includes("#") && doc.title === doc.page).map((doc) => doc.location.split("#")[0]));
      index = index.filter((doc) => !headings.has(doc.location));
    }
    const wanted = spaced(asked).split(" ").filter(Boolean);
    const weight = (doc, one) => (doc.inTitle.includes(` ${one}`) ? 8 : 0) + (doc.inTitle.includes(one) ? 4 : 0) + (doc.inBody.includes(` ${one}`) ? 2 : 0) + (doc.inBody.includes(one) ? 1 : 0);
    const whole = spaced(asked);
    return index
      .map((doc) => [doc, wanted.map((one) => weight(doc, one) && weight(doc, one) + (doc.inTitle === whole ? 16 : 0))])
      .filter(([, weights]) => weights.length && weights.every(Boolean))
      .map(([doc, weights]) => [doc, weights.reduce((sum, one) => sum + one)])
      .sort((one, other) => other[1] - one[1])
      .map(([doc]) => doc);
  }

  function result(doc, asked) {
    const [name, anchor] = doc.location.split("#");
    const at = Math.max(0, doc.body.toLowerCase().indexOf(asked.trim().toLowerCase()) - 40);
    const excerpt = (at ? "…" : "") + doc.body.slice(at, at + 160) + (doc.body.length > at + 160 ? "…" : "");
    const inner = element("div", { className: "md-search-result__article md-typeset" }, element("p", {}, element("strong", { textContent: doc.title }), doc.page && doc.page !== doc.title ? ` \u00b7 ${doc.page}` : ""), element("p", { textContent: excerpt }));
    const one = element("a", { className: "md-search-result__link" }, inner);
    lead(one, name, anchor);
    return element("li", { className: "md-search-result__item" }, one);
  }

  function seek(field) {
    const toggle = part("__search"), list = document.querySelector(".md-search-result__list"), meta = document.querySelector(".md-search-result__meta");
    meta.textContent = "";
    meta.role = "status";
    list.removeAttribute("role");
    field.form.addEventListener("submit", (event) => event.preventDefault());
    field.form.addEventListener("reset", () => { list.replaceChildren(); meta.textContent = ""; field.focus(); });
    field.addEventListener("focus", () => { toggle.checked = true; });
    toggle.addEventListener("change", () => { if (toggle.checked) field.focus(); });
    field.closest(".md-search").addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      toggle.checked = false;
      document.activeElement.blur();
      document.querySelector('[for="__search"].md-header__button').focus();
    });
    field.addEventListener("input", async () => {
      toggle.checked = true;
      const asked = field.value, docs = await found(asked);
      if (field.value !== asked) return;
      list.replaceChildren(...docs.slice(0, MOST).map((doc) => result(doc, asked)));
      meta.textContent = asked.trim() ? `${say.found} ${docs.length}` : "";
    });
  }

  dark.addEventListener("change", () => { if (archive) paint(); });
  ask();
})();
