// How the desk's scripts are looked over (.ci/run fetches the linter): what browsers have, what the scripts share, and the linter's own
// recommended rules.
import js from "@eslint/js";

const browser = ["AbortSignal", "addEventListener", "Blob", "clearInterval", "clearTimeout", "CSS", "document", "Event", "EventSource", "fetch", "FormData", "getComputedStyle", "history", "Image", "innerHeight", "innerWidth", "location", "navigator", "onconnect", "Option", "performance", "RadioNodeList", "scrollTo", "setInterval", "setTimeout", "SharedWorker"];

export default [
  js.configs.recommended,
  {
    languageOptions: {sourceType: "script", globals: Object.fromEntries([...browser, "desk"].map((name) => [name, name === "onconnect" ? "writable" : "readonly"]))},
    rules: {
      "no-redeclare": ["error", {builtinGlobals: false}],
      "no-unused-vars": ["error", {varsIgnorePattern: "^desk$"}],
      eqeqeq: "error", "no-var": "error", "prefer-const": "error", "no-eval": "error", "no-implied-eval": "error", "no-shadow": "error",
    },
  },
];
