// Package titles makes what names the people: the card with the song and its
// artist, the credits at the end, lyrics burned into the picture, and the texts
// that are published with a film.
//
// [Facts] are typed once. [Title], [Credits] and [Caption] draw pictures with
// alpha whose bounds say where they stand in the film frame; [PlaceTitle] and
// [PlaceCredits] say when cards are shown without lying over sung words. [TextsOf]
// writes texts for publishing from the facts and nothing else. [Facts.Gates] are
// the permissions that are still open.
//
// Letters stand within the area that screens show for certain and, in upright
// films, outside of what a phone lays over them ([captions.Safe]). Their contrast
// is at least 4.5:1 over any picture. Sizes are shares of the frame's shorter
// side, so that a card reads alike in every shape. The letters are those of the
// Go fonts, which have Latin, Greek and Cyrillic; other writing is refused, not
// drawn as boxes.
package titles
