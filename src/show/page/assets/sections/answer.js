// Sign and name of a truck, as the tables that are there without scripts have them.
import { make } from '../dom.js';

/** A copy of the sign that the program put beside the name. */
export const mark = (truck) => document.querySelector(`.mark[data-truck="${truck.index}"]`).cloneNode(true);

export const key = (truck) => make('span', { class: 'key' }, mark(truck), truck.name);
