import { useId } from 'preact/hooks';

import './choice.css';

interface ChoiceProps<T> {
  name: string;
  options: readonly (readonly [T, string])[];
  chosen: T;
  onChosen: (one: T) => void;
}

/** One of a few: keys side by side, the chosen one marked by shape as well as colour. */
export function Choice<T extends string | boolean | null>({ name, options, chosen, onChosen }: ChoiceProps<T>) {
  const label = useId();
  return (
    <div class="choice" role="group" aria-labelledby={label}>
      <span class="choice-name" id={label}>
        {name}
      </span>
      {options.map(([value, words]) => (
        <button type="button" key={String(value)} aria-pressed={value === chosen} onClick={() => onChosen(value)}>
          <span class="choice-mark" aria-hidden="true">
            {value === chosen ? '●' : '○'}
          </span>
          {words}
        </button>
      ))}
    </div>
  );
}
