package listing

// harmlessTables: words that say nothing of how a test went, so that a remark made of them alone speaks for no
// failure beside a pass. One table a language, folded as by [fold], in lines of one subject each. A word that may
// be part of a failure ("lamp dark", "needs a new base") must not stand here unless what says so stays unknown:
// "lamp" may, "dark" may not. Words of failure, of doubt and of denial go before these wherever both tables have
// them. Common practice, no source.
var harmlessTables = []string{harmlessEnglish, harmlessGerman, harmlessFrench, harmlessSpanish, harmlessItalian, harmlessDutch}

// placeEndings end the names of rooms that languages write in one word ("Kesselraum", "boilerroom", "stookkamer").
var placeEndings = []string{"raum", "raume", "zimmer", "keller", "kuche", "halle", "flur", "treppenhaus", "buro", "kamer", "keuken", "zaal", "room"}

const harmlessEnglish = `
small: at, to, from, for, near, next, above, below, under, over, behind, beside, between, opposite, outside, this, that, it, its, as, via, using, per, who, we, i, am, pm, hrs, during
places: rm, fl, flr, bldg, blk, floor, floors, ground floor, first floor, second floor, third floor, fourth floor, fifth floor, upper, lower, basement, cellar, attic, loft, roof, room, rooms, office, offices, hall, hallway, corridor, lobby, foyer, entrance, exit, stair, stairs, staircase, stairwell, landing, lift, lift shaft, shaft, riser, kitchen, canteen, store, storeroom, storage, warehouse, workshop, plant, plant room, boiler, boiler room, boilerhouse, server, switch room, toilet, bathroom, ward, bedroom, classroom, reception, garage, car park, yard, bay, aisle, door, doors, window, wall, ceiling, void, ceiling void, floor void, corner, north, south, east, west, left, right, side, front, rear, back, middle, centre, center, wing, block, building, area, zone, unit, house, site, loop, panel, vault, library, gym, shop, desk, rack, cabinet, beam, level
persons: tester, technician, engineer, caretaker, janitor, customer, client, tenant, occupier, manager, user, witness, witnessed, attended, present, team, colleague, signed, initials
times: monday, tuesday, wednesday, thursday, friday, saturday, sunday, morning, afternoon, evening, night, noon, today, week, weekly, month, monthly, quarter, quarterly, half yearly, yearly, year, service, visit, round, routine, hour, hours, minute, minutes, sec, secs, s
means: test, tests, tester, gas, aerosol, can, spray, pole, magnet, key, ladder, scaffold, heat gun, hot air, stand, lamp, led, head, base, alarm, alarms, alarm received, signal, received, monitoring station, arc, indicated, indication, shown, display, displayed, buzzer, sounder, sounders, bell, stock, stack, detect, detects, detected, detection, type, model, serial, number, label, labelled, labeled, remark, remarks, note, report, sheet, see report
clear: no remark, no remarks, no comment, no comments
`

const harmlessGerman = `
small: am, an, auf dem, auf der, im, in, ins, zum, zur, von, vom, vor, hinter, neben, uber, unter, zwischen, gegenuber, durch, fur, den, dem, des, ein, eine, einer, einem, eines, es, wir, ich, hier, links, rechts, oben, unten, vorn, hinten, mitte, per, mittels, uhr
places: erster stock, zweiter stock, stock, stockwerk, etage, eg, og, ug, dg, kg, erdgeschoss, obergeschoss, untergeschoss, dachgeschoss, keller, dach, dachboden, speicher, raum, zimmer, buro, halle, flur, gang, korridor, foyer, eingang, ausgang, eingangshalle, treppe, treppenhaus, aufzug, aufzugschacht, schacht, steigschacht, kuche, kantine, lager, werkstatt, technik, technikraum, heizung, heizraum, serverraum, wc, bad, klasse, klassenzimmer, empfang, garage, tiefgarage, hof, tur, turen, fenster, wand, decke, zwischendecke, doppelboden, boden, ecke, nord, sud, ost, west, seite, trakt, flugel, bau, gebaude, bereich, haus, schleife, linie, ring, gruppe, meldergruppe, zentrale, regal, schrank, tisch, ebene
persons: techniker, prufer, hausmeister, kunde, mieter, betreiber, monteur, kollege, anwesend, unterschrift, herr, frau
times: montag, dienstag, mittwoch, donnerstag, freitag, samstag, sonntag, morgens, vormittag, mittag, nachmittag, abend, nacht, heute, woche, monat, quartal, vierteljahrlich, halbjahrlich, jahrlich, jahr, wartung, inspektion, rundgang, stunde, minuten, sek
means: prufgas, gas, spray, aerosol, stange, stab, magnet, schlussel, leiter, gerust, heissluft, lampe, led, anzeige, angezeigt, sockel, kopf, alarm, alarm ausgelost, alarm empfangen, alarme, gemeldet, empfangen, sirene, typ, seriennummer, nummer, schild, beschriftung, bemerkung, siehe bericht, bericht, protokoll, rauch
clear: keine bemerkung, keine bemerkungen, ohne bemerkung
`

const harmlessFrench = `
small: au, aux, dans, sur, sous, chez, pour, avec, vers, entre, derriere, devant, cote, en face, en haut, en bas, l, ce, cette, il, elle, nous, on, h
places: premier, premiere, premier etage, deuxieme etage, etage, etages, rdc, rez de chaussee, sous sol, cave, grenier, toit, toiture, comble, combles, salle, piece, chambre, bureau, bureaux, hall, couloir, accueil, entree, sortie, escalier, ascenseur, gaine, cuisine, cantine, magasin, depot, atelier, local, local technique, chaufferie, chaudiere, serveur, toilettes, wc, classe, garage, parking, cour, porte, portes, fenetre, mur, plafond, faux plafond, faux plancher, angle, coin, nord, sud, est, ouest, gauche, droite, milieu, aile, batiment, zone, boucle, centrale, tableau, maison, armoire, caisse, vanne, niveau
persons: technicien, gardien, client, locataire, exploitant, responsable, collegue, present, presente, signe, monsieur, madame
times: lundi, mardi, mercredi, jeudi, vendredi, samedi, dimanche, matin, midi, soir, nuit, jour, semaine, mois, trimestre, trimestriel, semestriel, annuel, annuelle, an, visite, tournee, heure, minute, minutes
means: gaz, aerosol, bombe, perche, aimant, cle, echelle, echafaudage, air chaud, voyant, socle, tete, alarme, alarme recue, signal, recu, recue, affiche, affichee, sirene, type, modele, serie, numero, etiquette, remarque, voir rapport, rapport, fumee, essai
clear: pas de remarque, aucune remarque
`

const harmlessSpanish = `
small: al, del, con, para, sobre, bajo, entre, junto, junto a, cerca, cerca de, detras, delante, frente, lado, se, su, a, o, hora, hrs
places: primera planta, segunda planta, planta, plantas, planta baja, sotano, atico, tejado, cubierta, sala, habitacion, cuarto, oficina, oficinas, vestibulo, pasillo, recepcion, entrada, salida, escalera, ascensor, hueco, cocina, comedor, almacen, deposito, taller, cuarto tecnico, caldera, servidores, aseo, aula, garaje, aparcamiento, patio, puerta, puertas, ventana, pared, techo, falso techo, suelo, esquina, norte, sur, este, oeste, izquierda, derecha, centro, ala, edificio, zona, lazo, central, casa, armario, nivel
persons: tecnico, conserje, cliente, inquilino, encargado, responsable, companero, presente, firmado, senor, senora
times: lunes, martes, miercoles, jueves, viernes, sabado, domingo, manana, mediodia, noche, dia, semana, mes, trimestre, trimestral, semestral, anual, ano, visita, ronda, minuto, minutos
means: gas, aerosol, humo, pertiga, iman, llave, escalera de mano, andamio, aire caliente, base, cabeza, alarma, alarma recibida, senal, recibida, recibido, indicado, sirena, tipo, modelo, serie, numero, etiqueta, observacion, ver informe, informe
clear: sin observaciones, ninguna observacion
`

const harmlessItalian = `
small: al, alla, allo, ai, alle, dal, dalla, del, della, dello, dei, delle, nel, nella, sul, sulla, con, su, sopra, sotto, tra, fra, vicino, accanto, dietro, davanti, fronte, a, o, l, si, ora, ore
places: primo piano, secondo piano, piano, piani, piano terra, pianterreno, interrato, seminterrato, cantina, soffitta, tetto, sala, stanza, camera, ufficio, uffici, atrio, corridoio, reception, ingresso, uscita, scala, scale, ascensore, vano, vano scale, cavedio, cucina, mensa, magazzino, deposito, officina, locale, locale tecnico, caldaia, centrale termica, server, bagno, aula, garage, parcheggio, cortile, porta, porte, finestra, parete, muro, soffitto, controsoffitto, pavimento, angolo, nord, sud, est, ovest, sinistra, destra, centro, lato, ala, edificio, zona, linea, centrale, casa, armadio, livello
persons: tecnico, custode, cliente, inquilino, responsabile, collega, presente, firmato, signor, signora
times: lunedi, martedi, mercoledi, giovedi, venerdi, sabato, domenica, mattina, mezzogiorno, pomeriggio, sera, notte, oggi, settimana, mese, trimestre, trimestrale, semestrale, annuale, anno, visita, giro, minuto, minuti
means: gas, aerosol, fumo, asta, magnete, chiave, ponteggio, aria calda, base, testa, allarme, allarme ricevuto, segnale, ricevuto, indicato, sirena, tipo, modello, serie, numero, etichetta, nota, note, vedi rapporto, rapporto
clear: nessuna nota, nessuna osservazione, senza osservazioni
`

const harmlessDutch = `
small: aan, op de, op het, in, te, ter, voor, door, bij de, naast, achter, boven, onder, tussen, tegenover, naar, dit, dat, er, we, ik, uur, per, links, rechts, midden
places: eerste verdieping, tweede verdieping, verdieping, begane grond, bg, kelder, zolder, dak, kamer, ruimte, kantoor, kantoren, hal, gang, receptie, ingang, uitgang, trap, trappenhuis, lift, liftschacht, schacht, keuken, kantine, magazijn, opslag, werkplaats, technische ruimte, ketel, ketelhuis, stookruimte, server, serverruimte, toilet, lokaal, garage, parkeergarage, deur, deuren, raam, muur, wand, plafond, verlaagd plafond, vloer, hoek, noord, zuid, oost, west, zijde, vleugel, gebouw, zone, lus, centrale, paneel, huis, kast, niveau
persons: monteur, technicus, concierge, klant, huurder, beheerder, collega, aanwezig, getekend, heer, mevrouw
times: maandag, dinsdag, woensdag, donderdag, vrijdag, zaterdag, zondag, ochtend, middag, avond, nacht, vandaag, week, maand, kwartaal, halfjaarlijks, jaarlijks, jaar, onderhoud, bezoek, ronde, minuten
means: testgas, gas, rook, spuitbus, stok, magneet, sleutel, ladder, steiger, hete lucht, lampje, sokkel, voet, kop, alarm, alarm ontvangen, signaal, ontvangen, gemeld, sirene, type, model, serienummer, nummer, etiket, opmerking, zie rapport, rapport
clear: geen opmerking, geen opmerkingen
`
