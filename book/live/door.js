// The library in a page: `Risewater.ready` loads it, `Risewater.ask(request)` asks it, `Risewater.worker()` does so beside the page.
// Classic scripts and one module as text, so that a page works from a folder as well.
"use strict";

const Risewater = (() => {
  // What turns the module into a function from a request to its reply. It is also the text of the worker, so it stands alone.
  const open = (module, progress) => {
    const start = () => new WebAssembly.Instance(module, { page: { progress } }).exports;
    let library = start();
    return request => {
      const bytes = new TextEncoder().encode(JSON.stringify(request));
      try {
        // Either call may let the memory grow, which takes the views before it away.
        const place = library.room(bytes.length);
        new Uint8Array(library.memory.buffer, place, bytes.length).set(bytes);
        const length = library.ask(bytes.length), there = library.room(0);
        return JSON.parse(new TextDecoder().decode(new Uint8Array(library.memory.buffer, there, length)));
      } catch (error) {
        library = start();
        return { fault: [{ key: null, line: null, text: `the library stopped at this (${error.message}), which is a defect of it` }] };
      }
    };
  };

  const here = document.currentScript.src;
  let loading = null, module = null, answer = null;

  // The script that holds the module: at the root of the book, beside the pages.
  const text = () => new Promise((done, fail) => {
    if (window.risewaterModule) return done(window.risewaterModule);
    const script = document.createElement("script");
    script.src = new URL("../live-module.js", here).href;
    script.onload = () => done(window.risewaterModule);
    script.onerror = () => fail(new Error("this book was built without the library"));
    document.head.append(script);
  });

  const load = async () => {
    const packed = atob(await text()), bytes = new Uint8Array(packed.length);
    for (let n = 0; n < packed.length; n++) bytes[n] = packed.charCodeAt(n);
    const unpacked = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    module = await WebAssembly.compileStreaming(new Response(unpacked, { headers: { "Content-Type": "application/wasm" } }));
    answer = open(module, () => {});
    return Risewater;
  };

  const worker = () => {
    let running = null, waiting = new Map(), number = 0;
    const start = () => {
      // How far it is, ten times a second.
      const source = `const open = (${open}); let answer, own, told = 0;
        const progress = (tried, of) => {
          if (performance.now() - told < 100) return;
          told = performance.now();
          postMessage({ number: own, progress: { tried, of } });
        };
        onmessage = ({ data }) => {
          if (data.module) return void (answer = open(data.module, progress));
          own = data.number;
          postMessage({ number: own, reply: answer(data.request) });
        };`;
      const url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
      running = new Worker(url);
      URL.revokeObjectURL(url);
      running.postMessage({ module });
      running.onmessage = ({ data }) => {
        const one = waiting.get(data.number);
        if (data.progress) return one?.progress?.(data.progress);
        one?.done(data.reply);
        waiting.delete(data.number);
      };
    };
    return {
      // `progress({ tried, of })` is called as a search goes on.
      async ask(request, progress) {
        await Risewater.ready;
        if (!running) start();
        const own = ++number;
        return new Promise((done, stopped) => {
          waiting.set(own, { done, stopped, progress });
          running.postMessage({ number: own, request });
        });
      },
      // Ends what is being computed; its promises are rejected.
      stop() {
        running?.terminate();
        running = null;
        const all = waiting;
        waiting = new Map();
        for (const { stopped } of all.values()) stopped(new Error("stopped"));
      },
      get busy() {
        return waiting.size > 0;
      },
    };
  };

  return {
    get ready() {
      return (loading ??= load());
    },
    ask: request => answer(request),
    worker,
  };
})();
