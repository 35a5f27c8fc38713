/** The settings of the page, at its end. */

import { useState } from "preact/hooks";
import { Choice } from "./forms/choice";
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
        // Keys that look like numbers come first in an object; what is never comes last.
        const options = Object.entries(choices).sort(([a], [b]) => Number(name === "again" && a === "0") - Number(name === "again" && b === "0"));
        return (
          <Choice
            key={name}
            label={asks}
            options={options.map(([value, says]) => ({ value, says }))}
            value={settings[name]}
            choose={(value) => choose(name, value)}
          />
        );
      })}
    </section>
  );
}
