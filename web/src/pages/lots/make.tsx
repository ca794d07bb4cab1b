// A new lot: its dish, what its rule calls it, how many. And portions that are pulled from one.

import type { VNode } from 'preact';
import { useState } from 'preact/hooks';

import type { Model, Told } from '../../core/model.ts';
import type { FoodClass, Piece, ToldLot, ToldLots } from '../../wire.ts';
import { Key } from '../tickets/keys.tsx';
import { dishName, w } from '../tickets/words.ts';
import { lotName, namesTaken, pulledName, wordOf } from './names.ts';
import { NumberKeys } from './number.tsx';

const BIRD: FoodClass = 'poultry';
const PIECES: readonly Piece[] = ['half bird', 'whole bird', 'pieces']; // a half or a whole one is probed in two parts

interface Props {
  readonly model: Model;
  readonly lots: ToldLots;
  readonly tell: (what: Told, words: string) => void;
  readonly done: () => void;
}

export function MakeLot({ model, lots, tell, done }: Props): VNode {
  const [dish, setDish] = useState('');
  const [food, setFood] = useState('');
  const [piece, setPiece] = useState<Piece | null>(null);
  const [count, setCount] = useState('');
  const name = dish === '' ? '' : lotName(dishName(model, dish), lots.today, namesTaken(model));
  const choose = (one: string): void => {
    setDish(one);
    const before = lots.lots.find((lot) => lot.dish === one);
    setFood(before?.food ?? food);
    setPiece(PIECES.find((known) => known === before?.piece) ?? piece);
  };
  const write = (): void => {
    tell({ kind: 'lot_made', lot: name, dish, quantity: count, food: food as FoodClass, piece: food === BIRD ? piece : null }, w(model, 'lots.made', { lot: name }));
    done();
  };
  return (
    <div class="lot-make">
      <h2>{w(model, 'lots.which_dish')}</h2>
      <div class="keys">
        {model.house.dishes.map((one) => <Key key={one.key} grow id={`dish-${one.key}`} on={dish === one.key} onTap={() => { choose(one.key); }}>{one.name}</Key>)}
      </div>
      <h2>{w(model, 'lots.which_food')}</h2>
      <div class="keys">
        {lots.foods.map((one) => <Key key={one} grow id={`food-${one}`} on={food === one} onTap={() => { setFood(one); }}>{wordOf(model, 'food', one)}</Key>)}
      </div>
      {food === BIRD && (
        <div class="keys" role="group" aria-label={w(model, 'lots.which_piece')}>
          {PIECES.map((one) => <Key key={one} grow id={`piece-${one}`} on={piece === one} onTap={() => { setPiece(one); }}>{wordOf(model, 'piece', one)}</Key>)}
        </div>
      )}
      <h2>{w(model, 'lots.how_many')}</h2>
      <NumberKeys
        value={count} unit="×" onValue={setCount} id="make" words={name === '' ? w(model, 'lots.new') : w(model, 'lots.make', { lot: name })}
        off={name === '' || food === '' || (food === BIRD && piece === null) || !(Number(count) > 0)} onTell={write}
      />
      <p class="caution">{w(model, 'lots.raw_caution')}</p>
    </div>
  );
}

/** Portions of a chilled lot leave the cold: from then on they are a lot of their own. */
export function PullPortions({ model, lots, lot, tell, done }: Props & { lot: ToldLot }): VNode {
  const [count, setCount] = useState('1');
  const name = pulledName(lot.lot, lots.today, model.now_s, namesTaken(model));
  const write = (): void => {
    tell({ kind: 'lot_pulled', lot: name, of: lot.lot, quantity: count }, w(model, 'lots.is_pulled', { lot: name }));
    done();
  };
  return (
    <div class="lot-make">
      <h2>{w(model, 'lots.portions')}</h2>
      <NumberKeys value={count} unit="×" onValue={setCount} id="pull" words={w(model, 'lots.pull')} off={!(Number(count) > 0)} onTell={write} />
    </div>
  );
}
