package listing

// The words that say how a test went, one table a language, folded as by [fold]. Words of several tables may be
// the same; they must then say the same. The longest phrase counts. What the lines are:
//
//	pass    it did what it should
//	fail    it did not, and somebody tried
//	broken  the device is not sound, tried or not
//	flaw    the name of a fault: it is there, unless a word of without stands right before it
//	clear   a fault that is denied, said as one phrase
//	missed  somebody came and could not try
//	untried it was not tried, and it is not said whether anybody came
//	odd     something about it may not be right
//	doubt   the rest is not the whole of it
//	not     turns what follows into its contrary
//	without says that there is none of what follows
//	filler  says nothing of how it went
//
// The words of tests themselves are those of eventWords.
var verdictTables = []string{verdictSigns, verdictEnglish, verdictGerman, verdictFrench, verdictSpanish, verdictItalian, verdictDutch}

const verdictSigns = `
pass: ✓, ✔, ☑, ✅
fail: ✗, ✘, ❌, ☒
untried: ☐
`

const verdictEnglish = `
pass: ok, okay, o k, okey, pass, passed, passes, good, fine, satisfactory, sat, in order, all right, alright, successful, success, conforms, conform, compliant, works, working, worked, operated, operates, functional, functioning, functions, responded, sound, activated, correct
fail: fail, failed, fails, failing, test fault, nok, n o k, not ok, notok, ng, n g, no go, nogo, no good, not good, not passed, did not pass, non pass, unsuccessful, unsat, unsatisfactory, unacceptable, rejected, reject, refused, negative, no response, no reaction, not responding, unresponsive, non responsive, did not respond, did not operate, did not activate, did not work, did not react, did not trigger, did not go off, did not alarm, didn t respond, didn t operate, didn t activate, didn t work, didn t react, didn t trigger, didn t alarm, no activation, no alarm, no alarm received, no signal, does not work, doesn t work, not working, not operating, not functioning, nonfunctional, non functional, inoperative, inoperable, does not respond, doesn t respond, no signal received, would not operate, would not reset, wouldn t reset, will not reset, won t reset, did not reset, non compliant, noncompliant, not compliant, non conforming, nonconforming, non conformity, nonconformity, out of tolerance, out of range, out of spec, bad, poor, wrong, incorrect
broken: broken, dead, defective, faulty, damaged, cracked, smashed, corroded, burnt, burned out, kaput, kaputt, out of order, out of service, unserviceable, u s, ko, k o, malfunction, malfunctioning, malfunctioned, missing, blocked, obstructed, contaminated, stuck, loose, water damage, end of life, condemned, flooded
flaw: fault, faults, failure, failures, defect, defects, error, errors, problem, problems, issue, issues, trouble, damage, deficiency, deficiencies, intermittent, intermittently
clear: no fault, no faults, no fault found, no faults found, nff, no defect found, no defects found, no defect, no defects, without fault, without defect, without faults, without defects, fault free, faultless, defect free, free of faults, free of defects, no problem, no problems, no problems found, no issue, no issues, no issues found, no damage, no error, no errors, nothing found, error free
missed: could not be tested, failed to be tested, failed to test, failed to access, failed to reach, failed to gain access, could not test, couldn t test, couldn t be tested, cannot be tested, can t be tested, can not be tested, could not access, couldn t access, could not reach, couldn t reach, could not be reached, unable to test, unable to access, unable to reach, no access, not accessible, inaccessible, unreachable, not reachable, no entry, room locked, door locked, locked out, refused access, access refused, access denied
untried: failed to be done, test failed to be done, not tested, untested, not checked, unchecked, not inspected, not done, skipped, omitted, postponed, deferred, cancelled, canceled, aborted, n a, not applicable, not seen, to be tested, to test, tbc, tbd, due, overdue, planned, pending, outstanding
odd: slow, slowly, delayed, weak, weakly, sometimes, unsure, questionable, marginal, borderline, inconclusive, still, stays, stayed, remains, remained, silent, silence, mute, dark, unlit, dim, faint, off, lost, painted, painted over, overpainted, covered, taped over, needs, need, needed, replacing, must be, has to be, wet, wet inside, isolating, short circuit, misaligned, dirty, rusty, burnt out, expired, low
doubt: but, except, however, although, partly, partial, partially, late, retest, retested, re test, re tested, repeat, repeated, again, eventually, second attempt, unclear, unknown, maybe, perhaps, if, should, almost, nearly, barely, conditional, provisional, first time, later, after, until, before, 2nd, second, third
not: not, never, cannot, can t, couldn t, didn t, doesn t, isn t, wasn t, won t, hasn t, hardly, neither, nor, dont, didnt, doesnt, isnt, wasnt, wont
without: no, without, zero, nil, none
filler: the, a, an, and, was, is, has, been, device, detector, point, unit, result, all, with, by, of, on, in, smoke, function, walk, annual, found, any, known, visible
`

const verdictGerman = `
pass: i o, io, in ordnung, bestanden, gut, erfolgreich, funktioniert, ausgelost, angesprochen, funktionsfahig, einwandfrei, ordnungsgemass, konform, wirksam, betriebsbereit, intakt
fail: n i o, nio, ni o, nicht i o, nicht io, nicht in ordnung, nicht o k, nicht ok, nicht bestanden, durchgefallen, fehlgeschlagen, schlug fehl, schlagt fehl, misslungen, gescheitert, erfolglos, versagt, versagte, funktionslos, ohne funktion, keine funktion, keine reaktion, ohne reaktion, reagiert nicht, reagierte nicht, lost nicht aus, loste nicht aus, nicht ausgelost, keine auslosung, ohne auslosung, kein alarm, kein signal, funktioniert nicht, funktionierte nicht, geht nicht, ging nicht, spricht nicht an, sprach nicht an, nicht angesprochen, nicht funktionsfahig, nicht funktionstuchtig, unwirksam, falsch, negativ, mangelhaft, ungenugend, unzureichend, schlecht, beanstandet, nicht konform, durchfall
broken: defekt, defekte, defekter, defektes, kaputt, ausgefallen, ausgefallene, ausser betrieb, ausser funktion, beschadigt, gerissen, zerbrochen, gebrochen, fehlerhaft, gestort, schadhaft, verschmutzt, verstopft, blockiert, korrodiert, tot, fehlt, undicht, abgerissen
flaw: fehler, storung, storungen, mangel, mangeln, ausfall, ausfalle, defekten, schaden, beanstandung, beanstandungen, fehlfunktion, problem, probleme, befunde, versagen
clear: ohne befund, o b, ohne mangel, ohne beanstandung, ohne beanstandungen, keine beanstandung, keine beanstandungen, keine mangel, mangelfrei, fehlerfrei, storungsfrei, beanstandungsfrei, ohne storung, keine storung, kein fehler, keine fehler, ohne fehler, kein defekt, keine defekte, ohne defekt, ohne defekte, kein mangel, kein befund, keine auffalligkeiten, ohne auffalligkeiten, unauffallig, unbeschadigt, kein schaden
missed: konnte nicht gepruft werden, konnte nicht getestet werden, nicht prufbar, nicht zuganglich, unzuganglich, kein zugang, kein zutritt, keine zutritt, nicht erreichbar, unerreichbar, raum verschlossen, tur verschlossen, zutritt verweigert
untried: nicht gepruft, ungepruft, nicht getestet, ungetestet, nicht durchgefuhrt, entfallt, entfallen, ausgelassen, verschoben, abgebrochen, offen, ausstehend, steht aus, fallig, uberfallig, geplant, zu prufen
odd: verzogert, langsam, schwach, fraglich, manchmal, zeitweise, sporadisch, wackelkontakt, stumm, dunkel, still, immer noch, noch, ubermalt, uberstrichen, uberklebt, abgeklebt, muss, mussen, ersetzt werden, ersetzen, tauschen, zu ersetzen, aus, weg, nass, feucht, schmutzig, locker, lose, verbogen, verrostet, abgelaufen, leer
doubt: aber, jedoch, ausser, teilweise, teils, bedingt, spat, nachprufung, nachgepruft, erneut, wiederholt, wiederholung, nochmals, erst, unklar, unbekannt, fast, knapp, vorlaufig, nach, beim zweiten, zweiter, spater, nur
not: nicht, nein, 0, nie, niemals, kaum, weder
without: kein, keine, keinen, keiner, keinerlei, ohne
filler: der, die, das, und, ist, war, wurde, hat, melder, gerat, ergebnis, alles, mit, bei
`

const verdictFrench = `
pass: bon, bonne, reussi, reussie, satisfaisant, satisfaisante, conforme, conformes, fonctionne, fonctionnel, fonctionnelle, valide, validee, en ordre, correct, correcte, concluant, concluante, positif
fail: non conforme, non conformes, pas conforme, nc, n c, pas ok, pas bon, non ok, non reussi, pas reussi, echec, echoue, echouee, a echoue, echecs, rate, ratee, refuse, refusee, negatif, non satisfaisant, insatisfaisant, non valide, invalide, non concluant, ne fonctionne pas, ne fonctionne plus, n a pas fonctionne, fonctionne pas, ne marche pas, ne repond pas, n a pas repondu, ne reagit pas, ne declenche pas, n a pas declenche, ne se declenche pas, pas de reaction, aucune reaction, sans reaction, pas de reponse, aucune reponse, sans reponse, pas d alarme, aucune alarme, sans alarme, non fonctionnel, non fonctionnelle, inoperant, inoperante, mauvais, mauvaise, insuffisant, non conformite
broken: hs, h s, hors service, en panne, en defaut, defectueux, defectueuse, defaillant, defaillante, casse, cassee, abime, abimee, endommage, endommagee, brise, mort, bloque, bloquee, encrasse, manquant, manquante, a remplacer
flaw: defaut, defauts, panne, pannes, derangement, derangements, defaillance, defaillances, anomalie, anomalies, dysfonctionnement, probleme, problemes, erreur, erreurs, avarie, dommage
clear: sans defaut, sans defauts, aucun defaut, pas de defaut, sans anomalie, aucune anomalie, pas d anomalie, rien a signaler, ras, r a s, sans probleme, aucun probleme, pas de probleme, sans panne, sans remarque
missed: n a pas pu etre teste, n a pas pu etre essaye, pas pu etre teste, pas pu tester, impossible a tester, impossible de tester, inaccessible, non accessible, pas accessible, pas d acces, sans acces, acces refuse, acces impossible, local ferme, porte fermee, injoignable
untried: non teste, non testee, pas teste, pas testee, non essaye, non verifie, pas verifie, non controle, pas controle, non fait, pas fait, non realise, reporte, annule, sans objet, s o, a tester, a verifier, a faire, en attente, prevu
odd: lent, lente, lentement, retarde, faible, douteux, parfois, intermittent, toujours, reste, encore, muet, muette, silencieux, silencieuse, eteint, eteinte, sombre, repeint, repeinte, peint, recouvert, doit, remplacer, changer, remplace par, humide, mouille, sale, rouille, vide, desserre
doubt: mais, sauf, partiel, partielle, partiellement, en partie, tardif, contre essai, a nouveau, de nouveau, repris, reteste, puis, apres, avant, inconnu, peut etre, presque, provisoire, sous reserve, reserve, cependant, deuxieme essai, seulement
not: pas, non, ne, n, jamais, plus, guere, ni
without: sans, aucun, aucune, pas de, pas d, nul
filler: le, la, les, un, une, et, est, ete, a, de, du, d, detecteur, resultat, tout, par
`

const verdictSpanish = `
pass: bien, bueno, buena, correcto, correcta, aprobado, aprobada, apto, apta, conforme, superado, superada, satisfactorio, funciona, funcionando, exitoso, en orden, pasa, valido
fail: no ok, no pasa, no paso, no conforme, no apto, no apta, no supera, no superado, no superada, no correcto, no valido, no funciona, no funciono, no responde, no respondio, no reacciona, no actua, no actuo, no activa, no se activa, no se activo, no dispara, sin respuesta, sin reaccion, ninguna respuesta, sin alarma, ninguna alarma, no da alarma, suspendido, suspenso, fallido, fallida, fallado, falla, fracaso, fracasado, rechazado, rechazada, incorrecto, incorrecta, insatisfactorio, negativo, mal, malo, mala, reprobado, inoperativo, inoperante, no operativo, no conformidad, no bien, no aprobado, deficiente
broken: averiado, averiada, estropeado, estropeada, defectuoso, defectuosa, roto, rota, danado, danada, fuera de servicio, quemado, muerto, bloqueado, obstruido, falta, sucio
flaw: averia, averias, fallo, fallos, fallas, defecto, defectos, error, errores, problema, problemas, anomalia, anomalias, incidencia, incidencias, dano, danos
clear: sin fallo, sin fallos, sin averia, sin averias, sin defecto, sin defectos, sin anomalia, sin anomalias, sin incidencia, sin incidencias, sin problema, sin problemas, sin novedad, ningun fallo, ningun defecto, ninguna averia, ninguna anomalia, sin errores, sin danos
missed: no se pudo probar, no se pudo comprobar, no se ha podido probar, no pudo probarse, imposible probar, sin acceso, no accesible, inaccesible, acceso denegado, no hay acceso
untried: cerrado, no probado, no probada, sin probar, no comprobado, sin comprobar, no verificado, no realizado, no hecho, no aplica, n a, pendiente, aplazado, cancelado, previsto, por probar
odd: lento, lenta, debil, dudoso, a veces, intermitente, sigue, todavia, aun, mudo, muda, silencioso, callado, apagado, apagada, oscuro, oscura, pintado, pintada, tapado, tapada, cubierto, debe, deben, hay que, sustituir, cambiar, reemplazar, mojado, humedo, sucia, suelto, suelta, oxidado, vacio, caducado
doubt: pero, salvo, excepto, parcial, parcialmente, tarde, tardio, de nuevo, otra vez, repetido, repetida, reprobar, luego, despues, antes, desconocido, quizas, casi, provisional, con reservas, segunda prueba, solo
not: no, nunca, tampoco, ni, jamas
without: sin, ningun, ninguna, ninguno, cero
filler: el, la, los, las, un, una, y, es, fue, ha, detector, resultado, todo, de, en, por
`

const verdictItalian = `
pass: bene, buono, buona, corretto, corretta, superato, superata, conforme, positivo, positiva, funziona, funzionante, regolare, idoneo, idonea, riuscito, riuscita, efficiente, a posto, in ordine, valido
fail: non ok, non superato, non superata, non conforme, non idoneo, non idonea, non riuscito, non riuscita, non funziona, non funzionante, non ha funzionato, non risponde, non ha risposto, non reagisce, non si attiva, non attivato, non interviene, non intervenuto, non corretto, non positivo, nessuna risposta, nessuna reazione, senza risposta, senza reazione, nessun allarme, senza allarme, fallito, fallita, fallisce, bocciato, respinto, negativo, negativa, esito negativo, insufficiente, inefficiente, inefficace, inoperante, non operativo, male, cattivo, scorretto, irregolare, non regolare, non conformita, non va, non bene, non valido, non efficiente
broken: guasta, guasti, rotto, rotta, difettoso, difettosa, danneggiato, danneggiata, fuori servizio, fuori uso, bruciato, morto, bloccato, ostruito, manca, mancante, sporco, avariato
flaw: guasto, difetto, difetti, errore, errori, problema, problemi, anomalia, anomalie, avaria, avarie, danno, danni, malfunzionamento
clear: senza guasti, senza guasto, nessun guasto, senza difetti, senza difetto, nessun difetto, senza anomalie, nessuna anomalia, senza problemi, nessun problema, nulla da segnalare, niente da segnalare, senza errori, nessun errore, nessun danno
missed: non e stato possibile provare, impossibile provare, impossibile testare, non accessibile, inaccessibile, nessun accesso, senza accesso, accesso negato, locale chiuso, irraggiungibile, non raggiungibile
untried: chiuso, non provato, non provata, non testato, non testata, non verificato, non verificata, non controllato, non eseguito, non eseguita, non fatto, non applicabile, rimandato, rinviato, annullato, in sospeso, da provare, da testare, previsto, da fare
odd: lento, lenta, ritardo, debole, dubbio, a volte, intermittente, ancora, sempre, resta, rimane, muto, muta, silenzioso, silenziosa, spento, spenta, buio, verniciato, verniciata, dipinto, coperto, coperta, deve, devono, sostituire, cambiare, bagnato, umido, sporca, allentato, arrugginito, vuoto, scaduto
doubt: ma, pero, tranne, salvo, eccetto, parziale, parzialmente, in parte, tardi, di nuovo, ripetuto, ripetuta, riprovato, poi, dopo, prima, sconosciuto, forse, quasi, provvisorio, con riserva, seconda prova, solo
not: non, mai, neanche, ne
without: senza, nessun, nessuno, nessuna, niente
filler: il, lo, la, i, gli, le, un, una, e, stato, stata, rivelatore, risultato, esito, tutto, di, da, per
`

const verdictDutch = `
pass: goed, geslaagd, in orde, akkoord, voldoende, voldoet, werkt, werkend, gewerkt, functioneert, conform, goedgekeurd, positief, juist
fail: niet ok, niet oke, niet in orde, niet goed, niet geslaagd, niet akkoord, niet voldoende, niet conform, voldoet niet, werkt niet, werkte niet, niet werkend, niet gewerkt, functioneert niet, reageert niet, reageerde niet, geen reactie, zonder reactie, geen respons, geen alarm, geen melding, geen signaal, mislukt, gefaald, faalt, afgekeurd, gezakt, onvoldoende, negatief, slecht, fout, foutief, onjuist, verkeerd, ontoereikend, niet goedgekeurd, ondeugdelijk, gaat niet af, ging niet af
broken: kapot, defecte, stuk, gebroken, gescheurd, beschadigd, buiten bedrijf, buiten werking, buiten dienst, buiten gebruik, uitgevallen, vuil, vervuild, verstopt, geblokkeerd, dood, ontbreekt, gestoord
flaw: storing, storingen, fouten, gebrek, gebreken, mankement, mankementen, probleem, problemen, uitval, schade, afwijking, afwijkingen, falen
clear: geen storing, geen storingen, zonder storing, storingsvrij, geen fout, geen fouten, foutloos, foutvrij, geen defect, geen defecten, geen gebreken, zonder gebreken, geen gebrek, geen problemen, zonder problemen, geen bijzonderheden, geen afwijkingen, zonder afwijkingen, geen mankementen, geen schade
missed: kon niet getest worden, kon niet worden getest, kon niet testen, niet te testen, niet bereikbaar, onbereikbaar, niet toegankelijk, ontoegankelijk, geen toegang, toegang geweigerd, op slot
untried: gesloten, niet getest, ongetest, niet beproefd, niet gecontroleerd, niet gedaan, niet uitgevoerd, overgeslagen, uitgesteld, geannuleerd, nvt, n v t, niet van toepassing, openstaand, te testen, gepland
odd: traag, zwak, twijfelachtig, soms, af en toe, nog steeds, nog, blijft, stil, stom, donker, gedoofd, overgeschilderd, geverfd, afgeplakt, afgedekt, moet, moeten, vervangen worden, te vervangen, uit, nat, vochtig, vuile, verroest, leeg, verlopen
doubt: maar, behalve, gedeeltelijk, deels, langzaam, laat, opnieuw, nogmaals, hertest, herhaald, daarna, eerst, na, onbekend, misschien, bijna, voorlopig, onder voorbehoud, tweede test, alleen
not: niet, nee, nooit, nauwelijks, noch
without: geen, zonder, nul
filler: de, het, een, en, is, was, werd, heeft, melder, resultaat, uitslag, alles, met, van, bij
`

// verdictHeadings: a column so headed says of each row how it went; failed turns a yes into a failure.
const verdictHeadings = `
result: result, results, test result, test results, result of test, outcome, test outcome, verdict, finding, findings, ergebnis, ergebnisse, prufergebnis, testergebnis, resultat, prufresultat, befund, bewertung, beurteilung, resultats, resultat d essai, resultat de l essai, resultat du test, resultat essai, bilan, constat, avis, resultado, resultados, resultado de la prueba, resultado prueba, dictamen, risultato, risultati, esito, esito prova, esito della prova, risultato prova, resultaat, resultaten, testresultaat, uitslag, bevinding, bevindingen, oordeel, beoordeling, assessment, pass or fail, pass fail, passed failed, ok nok, ok not ok, ok ko, ok defekt, i o n i o, io nio, conforme non conforme, grade
passed: pass, passed, passed test, ok, test ok, test passed, functional, works, i o, in ordnung, bestanden, prufung bestanden, conforme, conformite, essai ok, essai reussi, reussi, correcto, apto, superado, prueba ok, superata, superato, conformita, prova ok, prova superata, goed, geslaagd, in orde, akkoord, satisfactory, compliant
failed: fail, failed, failure, nok, not ok, fault found, faults found, defect, defects, defective, faulty, n i o, nicht in ordnung, nicht bestanden, mangel, defekt, non conforme, hs, defaut, defauts, echec, fallo, no apto, defecto, defectos, guasto, difetto, difetti, non superato, niet goed, gebrek, gebreken, niet geslaagd, afgekeurd
`
