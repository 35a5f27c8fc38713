/** The settings of the page, at its end. */

import { useState } from "preact/hooks";
import { browserStore, type Setting, SETTINGS, settingsKept, settle } from "./settings";

export function SettingsForm() {
  const [settings, setSettings] = useState(() => settingsKept(browserStore()));
  const choose = (name: Setting, value: string) => {
    const next = { ...settings, [name]: value };
    setSettings(next);
    settle(next, document.documentElement, browserStore());
  };
  return (
    <section id="settings" aria-labelledby="settings-title" tabIndex={-1}>
      <h2 id="settings-title">How this page is for you</h2>
      <p>Kept in this browser alone; the job is not changed by it.</p>
      {(Object.keys(SETTINGS) as Setting[]).map((name) => {
        const { asks, choices } = SETTINGS[name];
        return (
          <fieldset class="choice" key={name}>
            <legend>{asks}</legend>
            {Object.entries(choices)
              .sort(([a], [b]) => (name === "again" && a === "0" ? 1 : 0) - (name === "again" && b === "0" ? 1 : 0))
              .map(([value, says]) => (
                <label key={value}>
                  <input type="radio" name={`setting-${name}`} checked={settings[name] === value} onChange={() => choose(name, value)} />
                  {says}
                </label>
              ))}
          </fieldset>
        );
      })}
    </section>
  );
}
