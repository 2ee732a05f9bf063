/* Made by types.mjs from the program's own description of its interface; do not edit. */
export type paths = Record<string, never>;
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        CalcField: {
            name: string;
            unit?: string;
            what?: string;
            type?: string;
        } & {
            [key: string]: unknown;
        };
        CalcRow: {
            name: string;
            discipline?: string;
            purpose: string;
            formula?: string;
        } & {
            [key: string]: unknown;
        };
        Calculations: {
            rows: components["schemas"]["CalcRow"][];
        };
        /** @description The calculation's fields by name. */
        CalcInput: {
            [key: string]: unknown;
        };
        CalcAnswer: {
            calculation: string;
            purpose?: string;
            formula?: string;
            inputs: Record<string, never>;
            results: Record<string, never>;
            unrounded?: Record<string, never>;
            rounding?: Record<string, never>;
            constants?: Record<string, never>[];
            sources?: Record<string, never>[];
            cautions: string[];
        } & {
            [key: string]: unknown;
        };
        /** @description Without low and high: from half of the field's value to one and a half of it. */
        SweepInput: {
            inputs: components["schemas"]["CalcInput"];
            over: string;
            low?: number;
            high?: number;
        };
        SweepCurve: {
            name: string;
            what: string;
            unit: string;
            y: (number | null)[];
        };
        SweepAnswer: {
            calculation: string;
            over: string;
            what: string;
            unit: string;
            at: number | null;
            x: number[];
            curves: components["schemas"]["SweepCurve"][];
        };
        /** @description RFC 9457. detail is a sentence for a person that says what to do. */
        Problem: {
            /** @constant */
            type: "about:blank";
            title: string;
            status: number;
            detail: string;
            code: string;
            field: string;
            values: string[];
            line: number;
            column: number;
        };
        Nothing: Record<string, never>;
        /** @description An OpenAPI 3.1 document. */
        Description: {
            openapi: string;
            paths: Record<string, never>;
        };
        /** @description What a form sends: kind, uuid, person, and the fields of that kind. */
        Command: {
            kind: string;
            /** Format: uuid */
            uuid: string;
            person: number;
            /** @enum {unknown} */
            mode?: "ask" | "tell";
            at?: string;
            reason?: string;
            device?: string;
            device_time?: string;
            note?: string;
        } & {
            [key: string]: unknown;
        };
        /** @description One command as it is, one with the password that its kind is signed with, or several that stand or fall together. */
        Tell: components["schemas"]["Command"] | {
            command: components["schemas"]["Command"];
            password?: string;
        } | {
            commands: components["schemas"]["Command"][];
        };
        TellAnswer: {
            entry: number;
            kind: string;
            repeated?: boolean;
            deviations?: Record<string, never>[];
            consequences?: Record<string, never>[];
        } & {
            [key: string]: unknown;
        };
        Told: {
            answers: components["schemas"]["TellAnswer"][];
        };
        ReadBack: {
            title: string;
            sentence: string;
            warnings: string[];
        };
        Dry: {
            answers: components["schemas"]["TellAnswer"][];
            read: components["schemas"]["ReadBack"][];
        };
        FileIn: {
            source: string;
            /** @description Of the file. */
            name: string;
            bytes_b64: string;
            /** @description Says what it would do; nothing is booked. */
            try: boolean;
            /** @description For rows that are told late. */
            reason?: string;
        };
        FileReport: {
            for: string;
            source: string;
            file: string;
            sha256: string;
            encoding: string;
            delimiter: string;
            rows: number;
            new: number;
            changed: number;
            cancelled: number;
            /** @description Would change, but has left. */
            shipped: number;
            known: number;
            duplicate: number;
            gap: number;
            whole_book?: boolean;
            from?: string;
            to?: string;
            pieces?: number;
            notes: {
                mark: string;
                line?: number;
                what: string;
            }[];
            cautions: string[];
            booked: boolean;
            /** @description Sent, or that would be. */
            commands: number;
        };
        Mapping: {
            source: string;
            for: string;
            data: {
                [key: string]: unknown;
            };
            entry: number;
            at_ms: number;
            by: number;
        };
        Mappings: {
            mappings: components["schemas"]["Mapping"][];
        };
        OrderLine: {
            key: string;
            customer: string;
            group: string;
            life_days: number | null;
            item: string;
            pieces: number;
            shipped: number;
            stock: number;
            missing: number;
            unfit: number;
            /** @enum {unknown} */
            state: "shipped" | "stock" | "short" | "open" | "cancelled";
            version: number;
            source: string;
            leaves: string | null;
            closed: string | null;
            /** @description Of what it still gets, packs of other items that the plan taken promised it. */
            instead: {
                item: string;
                pieces: number;
            }[];
        };
        OrderGroup: {
            group: string;
            pieces: number;
            shipped: number;
            stock: number;
            missing: number;
        };
        OrderStock: {
            item: string;
            markets: string;
            best_before: string | null;
            left_d: number | null;
            pieces: number;
            free: number;
        };
        OrderDay: {
            day: string;
            pieces: number;
            shipped: number;
            stock: number;
            missing: number;
            groups: components["schemas"]["OrderGroup"][];
            lines: components["schemas"]["OrderLine"][];
        };
        StandingOrder: {
            code: string;
            customer: string;
            item: string;
            weekdays: string[];
            pieces: number;
            from: string;
            to: string | null;
            terms: string;
            /** @enum {unknown} */
            state: "coming" | "in-force" | "ended";
            entry: number;
        };
        Orders: {
            from: string;
            to: string;
            there: components["schemas"]["OrderStock"][];
            days: components["schemas"]["OrderDay"][];
            standing: components["schemas"]["StandingOrder"][];
        };
        OrderHistory: {
            key: string;
            versions: {
                version: number;
                customer: string;
                item: string;
                day: string;
                pieces: number;
                state: string;
                source: string;
                entry: number;
                at_ms: number;
                by: number;
            }[];
            shipments: {
                shipment: string;
                at_ms: number;
                pieces: number;
            }[];
        };
        EntryRow: {
            entry: number;
            at_ms: number;
            recorded_ms: number;
            day: string;
            kind: string;
            title: string;
            sentence: string;
            by: number;
            name: string | null;
            lots: string[];
            place: string | null;
            struck_by: number | null;
            strikes: number | null;
        };
        Daybook: {
            entries: components["schemas"]["EntryRow"][];
            next: string | null;
        };
        Entry: components["schemas"]["EntryRow"] & {
            offset_min: number;
            device: string;
            clock_ms: number;
            version: number;
            uuid: string;
            cause: number | null;
            caused: number[];
            told: Record<string, never>;
            answer: Record<string, never>;
            effects: number;
            leaf: string;
            proof: {
                index: number;
                size: number;
                root: string;
                path: string[];
                head: {
                    size: number;
                    root: string;
                    signed_ms: number;
                    public_key: string;
                    signature: string;
                } | null;
            };
            correctable: boolean;
            /** @description Of what was told and not booked: the entry that settled it, and whether the reader may. */
            aside: {
                settled_by: number | null;
                may_settle: boolean;
            } | null;
            /** @description What was not as it should be, as sentences. */
            deviations: string[];
        };
        Review: {
            batches: {
                batch: string;
                entries: components["schemas"]["EntryRow"][];
            }[];
        };
        Owed: {
            lot: string;
            unit: string;
            amount: number;
            entry: number;
            at_ms: number;
        };
        Balance: {
            steps: {
                step: string;
                entries: number;
                in_mg: number;
                out_mg: number;
                tolerance_ppm: number | null;
            }[];
            accounts: {
                account: string;
                unit: string;
                amount: number;
            }[];
            owed: components["schemas"]["Owed"][];
        };
        AskedAmount: {
            unit: string;
            amount: number;
            decimals: number;
            how: string | null;
            instrument: string | null;
        };
        AskedRow: components["schemas"]["EntryRow"] & {
            amounts: components["schemas"]["AskedAmount"][];
        };
        /** @description What a number rests on. rows: the newest 50 of the entries behind it. */
        Asked: {
            about: string;
            of: string;
            with: string | null;
            how: string;
            calculation: string | null;
            adds: boolean;
            entries: number;
            sums: {
                unit: string;
                amount: number;
                decimals: number;
            }[];
            rows: components["schemas"]["AskedRow"][];
        };
        DaylineBar: {
            /** @enum {unknown} */
            kind: "run" | "clean" | "change";
            /** @enum {unknown} */
            state: "planned" | "going" | "done";
            from_ms: number;
            to_ms: number;
            chamber: string | null;
            item: string | null;
        };
        DaylineStage: {
            stage: string;
            title: string;
            room: boolean;
            lines: {
                place: string | null;
                bars: components["schemas"]["DaylineBar"][];
            }[];
            work_min: number;
            clean_min: number;
            change_min: number;
            idle_min: number;
            source: string;
        };
        DaylineTruck: {
            truck: string;
            cut_off_ms: number;
            ready_ms: number | null;
            slack_min: number | null;
            /** @enum {unknown} */
            state: "nothing" | "there" | "late" | "tight" | "in-time";
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            binds: string | null;
            wanted: number;
            stock: number;
            lacking: number;
            load_min: number;
            source: string;
            sentence: string;
        };
        DaylineJob: {
            chamber: string;
            lot: string | null;
            item: string;
            mg: number;
            harvested: boolean;
            held: boolean;
            family: string;
            allergens: string[];
            trucks: string[];
            runs: {
                stage: string;
                from_ms: number;
                to_ms: number;
                begun: boolean;
            }[];
        };
        Dayline: {
            day: string;
            known: boolean;
            start_ms: number;
            end_ms: number;
            now_ms: number | null;
            stages: components["schemas"]["DaylineStage"][];
            pauses: {
                from_ms: number;
                to_ms: number;
            }[];
            trucks: components["schemas"]["DaylineTruck"][];
            jobs: components["schemas"]["DaylineJob"][];
            says: string[];
            late_min: number;
            setup_min: number;
            ends_ms: number | null;
            bound_ms: number | null;
            closed: components["schemas"]["Closed"] | null;
        };
        LotRow: {
            lot: string;
            item: string;
            kind: string;
            place: string | null;
            day: string;
            mg: number;
            pieces: number;
            /** @enum {unknown} */
            state: "open" | "held" | "released" | "closed";
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            holds: number;
            best_before: string | null;
        };
        Lots: {
            lots: components["schemas"]["LotRow"][];
            next: string | null;
        };
        Hold: {
            hold: string;
            kind: string;
            stops: string[];
            needs: string;
            reason: string;
            placed_ms: number;
            by: number;
            lots: string[];
            units: number;
            covered: number;
            lifted_ms: number | null;
        };
        Holds: {
            holds: components["schemas"]["Hold"][];
        };
        Clause: {
            clause: string;
            title: string;
            lot: string;
            place: string | null;
            market: string | null;
            /** @enum {unknown} */
            state: "met" | "unmet" | "not-applicable";
            sentence: string;
            entries: number[];
            way: string[];
        };
        StoryLine: {
            entry: number;
            at_ms: number;
            kind: string;
            title: string;
            sentence: string;
            by: number;
            lots: string[];
            place: string | null;
            mg: number | null;
            struck_by: number | null;
            deviations: string[];
            /** @enum {unknown} */
            side: "into" | "own" | "from";
        };
        Leg: {
            entry: number;
            kind: string;
            unit: string;
            amount: number;
            how: string;
            instrument: string | null;
            uncertainty: number | null;
        };
        LotRelease: {
            entry: number;
            at_ms: number;
            by: number;
            markets: string[];
            size: number;
            revoked: number | null;
        };
        Lot: {
            lot: string;
            item: string;
            kind: string;
            place: string | null;
            day: string;
            born_ms: number;
            best_before: string | null;
            markets: string[];
            mg: number;
            pieces: number;
            state: string;
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            supplier: string | null;
            supplier_lot: string | null;
            holds: components["schemas"]["Hold"][];
            clauses: components["schemas"]["Clause"][];
            unmet: number;
            may_release: boolean;
            releases: components["schemas"]["LotRelease"][];
            story: components["schemas"]["StoryLine"][];
            balance: components["schemas"]["Leg"][];
            units: {
                cases: number;
                here: number;
                shipped: number;
            };
            dry: {
                in_mg: number | null;
                out_mg: number | null;
            };
        };
        Unit: {
            code: string;
            kind: string;
            lot: string | null;
            pieces: number;
            mg: number;
            place: string | null;
            state: string;
            shipment: string | null;
            customer: string | null;
            holds: components["schemas"]["Hold"][];
        };
        Found: {
            /** @enum {unknown} */
            kind: "lot" | "unit" | "shipment" | "place" | "sample" | "person" | null;
            code: string;
        };
        LotParts: {
            lot: string;
            cases: components["schemas"]["LotCase"][];
            /** @description Cases beyond those listed. */
            more: number;
            runs: components["schemas"]["LotRun"][];
        };
        LotCase: {
            code: string;
            pieces: number;
            state: string;
            place: string | null;
            /** @description Some open hold names the case itself. */
            held: boolean;
        };
        LotRun: {
            run: string;
            place: string;
            start_ms: number;
            end_ms: number | null;
            /** @description The lot's first moment there. */
            from_ms: number;
            to_ms: number;
        };
        TodayLine: {
            key: string;
            rank: number;
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            sentence: string;
            what: string;
            lot: string | null;
            place: string | null;
            by_ms: number | null;
            verb: string;
            go: {
                page: string;
                form: string | null;
                with: {
                    [key: string]: unknown;
                };
            };
        };
        Handover: {
            text: string;
            by: number;
            at_ms: number;
            entry: number;
        } & {
            [key: string]: unknown;
        };
        Today: {
            day: string;
            lines: components["schemas"]["TodayLine"][];
            review_count: number;
            owed: components["schemas"]["Owed"][];
            handover: components["schemas"]["Handover"] | null;
            health: components["schemas"]["Health"] | null;
        };
        /** @description What the house does not do on a day: soak, harvest, pack, dispatch. */
        Closed: {
            what: string[];
            reason: string;
            sentence: string;
        };
        Day: {
            day: string;
            harvest: number;
            soak: number;
            ship_pieces: number;
            ship_mg: number;
            stopped: number;
            now: boolean;
            closed: components["schemas"]["Closed"] | null;
        };
        Days: {
            days: components["schemas"]["Day"][];
        };
        Chamber: {
            place: string;
            name: string;
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            /** @enum {unknown} */
            state: "empty" | "soaking" | "growing" | "ready" | "to-clean" | "out-of-service";
            lot: string | null;
            item: string | null;
            start_ms: number | null;
            age_h: number | null;
            ready_ms: number | null;
            reckoned: string | null;
            later_days: number | null;
            seed_mg: number | null;
            expected_mg: number | null;
            expected_low_mg: number | null;
            expected_high_mg: number | null;
            share_left_ppm: number | null;
            temp_mc: number | null;
            temp_ms: number | null;
            holds: number;
        };
        Chambers: {
            chambers: components["schemas"]["Chamber"][];
        };
        ChamberDetail: components["schemas"]["Chamber"] & {
            measured: {
                t_ms: number;
                temp_mc: number;
            }[];
            predicted: {
                t_ms: number;
                heat_ch_low: number;
                heat_ch: number;
                heat_ch_high: number;
            }[];
            limits: {
                name: string;
                temp_mc: number;
            }[];
            waterings: {
                t_ms: number;
                litres: number | null;
            }[];
            uses: {
                lot: string;
                item: string;
                start_ms: number;
                emptied_ms: number | null;
            }[];
        };
        Sample: {
            lot: string;
            chamber: string;
            wet_ms: number;
            age_h: number;
            due_ms: number | null;
        };
        SampleOpen: {
            sample: string;
            what: string;
            lot: string | null;
            item: string | null;
            place: string | null;
            location: string;
            taken_ms: number;
            /** @description Since it was drawn. */
            age_h: number;
            presumptive: boolean;
            /** @description Organisms without a final result. */
            owed: string[];
        };
        SampleSecond: {
            sample: string;
            organism: string;
            state: string;
            lot: string | null;
            place: string | null;
            /** @description Who typed it: somebody else reads it again. */
            by: number;
            at_ms: number;
            entry: number;
        };
        Samples: {
            samples: components["schemas"]["Sample"][];
            open: components["schemas"]["SampleOpen"][];
            second: components["schemas"]["SampleSecond"][];
        };
        Health: {
            size: number;
            root: string;
            signed: {
                size: number;
                signed_ms: number;
            } | null;
            backup: {
                at_ms: number | null;
                checked: boolean;
                place: string | null;
            };
            disk_days: number | null;
        };
        TraceLot: {
            lot: string;
            item: string;
            kind: string;
            place: string | null;
            day: string;
            born_ms: number;
            mg: number;
            here_mg: number;
            here_pieces: number;
            share_ppm: number | null;
            certain: boolean;
            held: boolean;
        };
        TraceStep: {
            entry: number;
            kind: string;
            at_ms: number;
            place: string | null;
            parent: string;
            child: string;
            mg: number;
            /** @enum {unknown} */
            basis: "measured" | "possible" | "unknown";
        };
        TraceCustomer: {
            customer: string;
            name: string | null;
            contact: string | null;
            pieces: number;
            mg: number;
            shipments: {
                shipment: string;
                at_ms: number;
                pieces: number;
                mg: number;
            }[];
        };
        Trace: {
            code: string | null;
            /** @enum {unknown} */
            direction: "back" | "forward";
            lots: components["schemas"]["TraceLot"][];
            steps: components["schemas"]["TraceStep"][];
            customers: components["schemas"]["TraceCustomer"][];
            account: {
                produced_mg: number;
                accounted_mg: number;
                accounted_ppm: number;
                owed_mg: number;
            } & {
                [key: string]: unknown;
            };
            held_lots: number;
            here_mg: number;
            left_mg: number;
            left_pieces: number;
            unknown_ppm: number;
        };
        WhyStep: {
            parent: string;
            child: string;
            entry: number;
            mg: number;
        };
        Why: {
            steps: components["schemas"]["WhyStep"][];
        };
        Recall: components["schemas"]["Trace"] & {
            left: {
                unit: string | null;
                lot: string;
                customer: string;
                shipment: string;
                at_ms: number;
                pieces: number;
                mg: number;
                contact: string | null;
            }[];
            here: {
                lot: string;
                unit: string | null;
                place: string | null;
                pieces: number;
                mg: number;
                held: boolean;
            }[];
        };
        Field: {
            name: string;
            label: string;
            /** @enum {unknown} */
            kind: "choice" | "choices" | "command" | "counts" | "data" | "day" | "duration" | "entries" | "entry" | "file" | "inputs" | "instrument" | "instruments" | "item" | "log" | "lot" | "lots" | "mass" | "number" | "numbers" | "order-lines" | "outputs" | "paper" | "papers" | "partner" | "percent" | "person" | "pieces" | "place" | "plan-starts" | "sample" | "series" | "temp" | "text" | "texts" | "time" | "unit" | "units" | "volume" | "yes-no";
            required: boolean;
            choices: {
                value: string;
                label: string;
            }[] | null;
            of: {
                [key: string]: unknown;
            } | null;
            unit: string | null;
            help: string | null;
            default: string | null;
            only_with: {
                [key: string]: unknown;
            } | null;
            /** @description Fields of which any may stand in this one's place. */
            either: string[] | null;
        };
        Form: {
            kind: string;
            act: string;
            title: string;
            /** @enum {unknown} */
            mode: "ask" | "tell";
            roles: string[];
            reviewed: boolean;
            moves_mass: boolean;
            confirm: boolean;
            signs: boolean;
            /** @enum {unknown} */
            group: "seed" | "grow" | "harvest" | "line" | "check" | "clean" | "store" | "ship" | "evidence" | "house";
            fields: components["schemas"]["Field"][];
        };
        Forms: {
            forms: components["schemas"]["Form"][];
        };
        PlanWish: {
            /** @description for the solver; 0: without it */
            seconds: number;
            /**
             * @description how much of the plan taken stays
             * @enum {unknown}
             */
            keep?: "most" | "balance" | "best";
            /** @description share of what is wanted that is to be met; 0: whatever costs least; left out: what the profile says */
            service_ppm?: number;
            /** @description what if: chamber-out, chambers, temperature, life, order, seed, ingredient, work, limit, closed-day, open-day, parts; of a house that receives fruit: store, machine, order, offer */
            changes?: {
                [key: string]: unknown;
            }[];
            /** @description only asked, never taken */
            trial?: boolean;
        };
        PlanBegun: {
            job: string;
        };
        PlanTakeWish: Record<string, never>;
        Plan: {
            first_day: string;
            starts: {
                [key: string]: unknown;
            }[];
            shorts: {
                [key: string]: unknown;
            }[];
            demand: {
                [key: string]: unknown;
            }[];
            /** @description What the plan comes to in many futures drawn from the record. */
            chance?: {
                futures: number;
                /** @description Expected share met of all that is wanted. */
                share_ppm: number;
                share_error_ppm: number;
                short_g: number;
                waste_g: number;
                cost: number;
                cost_error: number;
                safety: {
                    item: string;
                    /** @description Cover planned with, in thousandths of a standard deviation. */
                    milli: number;
                }[];
                lines: {
                    /** @description null: a forecast. */
                    order: string | null;
                    item: string;
                    group: string;
                    day: string;
                    pieces: number;
                    /** @description Share of futures in which the line is met whole. */
                    met_ppm: number;
                    /** @description Expected share of it that is met. */
                    share_ppm: number;
                    /** @enum {unknown} */
                    word: "certain" | "likely" | "open" | "doubtful" | "unlikely";
                    /** @description The chance for people: word and per cent. */
                    sentence: string;
                }[];
            };
            /** @description What was rehearsed of the first evening that is still open, by crop; of a plan that was searched for. */
            rehearsed?: {
                item: string;
                day: string;
                /** @description Chambers that would be started without it. */
                planned: number;
                /** @description Chambers that are started. */
                starts: number;
                planned_g: number;
                /** @description Seed of all its starts. */
                seed_g: number;
                /** @description Cost less on average. */
                saved: number;
                /** @description Standard error of it. */
                saved_error: number;
                futures: number;
                sentence: string;
            }[];
            /** @description Results that are tested again. */
            retests?: {
                lot: string;
                markets: string;
                /** @description The day on which its goods could leave after one test. */
                from: string;
                /** @description And may now; null: the profile does not say how long a second test takes. */
                to: string | null;
                sentence: string;
            }[];
            cost: number;
            bound?: number;
            gap?: number;
            /** @description Why the solver brought nothing; null: it did. */
            solver_says: string | null;
            solver: string;
        } & {
            [key: string]: unknown;
        };
        ReceivedSums: {
            wanted: number;
            met: number;
            booked: number;
            booked_met: number;
            short_orders: number;
            bought_g: number;
            turned_g: number;
            left_g: number;
            sold_g: number;
            cost: number;
        };
        ReceivedDifference: {
            flows: {
                day: string;
                /** @enum {unknown} */
                act: "comes" | "turned" | "bought" | "used" | "made" | "leaves" | "sold";
                good: string;
                use: string | null;
                of: string | null;
                before_g: number;
                after_g: number;
                sentence: string;
            }[];
            lines: ({
                order: string | null;
                standing: string | null;
                item: string;
                group: string;
                day: string;
                sentence: string;
            } & {
                [key: string]: unknown;
            })[];
        };
        /** @description What a house that receives fruit takes in, buys, makes, keeps and ships on each day. */
        ReceivedPlan: {
            /** @enum {unknown} */
            kind: "received";
            first_day: string;
            days: number;
            flows: {
                day: string;
                /** @enum {unknown} */
                act: "comes" | "turned" | "bought" | "used" | "made" | "leaves" | "sold";
                good: string;
                use: string | null;
                of: string | null;
                g: number;
            }[];
            coming: {
                day: string;
                good: string;
                of: string;
                booked: boolean;
                g: number;
                turned_g: number;
            }[];
            buy: {
                offer: string;
                good: string;
                day: string;
                order_by: string;
                g: number;
                cost: number;
                sentence: string;
            }[];
            stores: {
                store: string;
                /** @enum {unknown} */
                unit: "kg" | "L";
                tanks: number | null;
                days: {
                    day: string;
                    level_milli: number;
                    limit_milli: number | null;
                    tanks: number | null;
                }[];
            }[];
            machines: {
                machine: string;
                days: {
                    day: string;
                    used_min: number;
                    limit_min: number;
                }[];
            }[];
            supply: {
                day: string;
                item: string;
                pieces: number;
                booked: number;
                forecast: number;
                short: number;
            }[];
            demand: {
                [key: string]: unknown;
            }[];
            orders: {
                order: string;
                item: string;
                group: string;
                day: string;
                pieces: number;
                met: number;
                chance_percent?: number;
                chance_says?: string;
            }[];
            shorts: {
                chance_percent?: number;
                chance_says?: string;
                order: string | null;
                item: string;
                group: string;
                day: string;
                pieces: number;
                limit: string;
                which: string | null;
                also: string[];
                forecast: boolean;
                sentence: string;
            }[];
            /** @description days on which something is not done */
            closed: {
                day: string;
                what: ("harvest" | "pack" | "dispatch")[];
                reason: string;
                sentence: string;
            }[];
            /** @description what each use is counted on to give: by its days of work in the record, or by the profile */
            counted: {
                use: string;
                days: number;
                by_record: boolean;
                parts: {
                    good: string;
                    ppm: number;
                    told_ppm: number;
                }[];
                sentence: string;
            }[];
            gains: {
                limit: string;
                which: string;
                step_milli: number;
                unit: string;
                saved: number;
                met_g: number;
                sentence: string;
            }[];
            sums: components["schemas"]["ReceivedSums"];
            cost: number;
            by_solver: boolean;
            solver_says: string | null;
            solver: string;
            bound?: number;
            gap?: number;
            taken?: {
                entry: number;
                at_ms: number;
            } | null;
            /** @description how much less than is expected the plan counts on: chosen on drawn futures; told_ of the plan without care */
            care?: {
                /** @description standard deviations; null: none */
                level_milli: number | null;
                tried: boolean;
                futures: number;
                cost: number;
                told_cost: number;
                saved: number;
                saved_error: number;
                short_g: number;
                told_short_g: number;
                left_g: number;
                told_left_g: number;
                sentence: string;
            };
            /** @description How sure it is, from futures drawn as the record says of what uses give, what deliveries bring and what forecasts come to; of a plan that is worked out. */
            chance?: {
                futures: number;
                share_ppm: number;
                share_error_ppm: number;
                short_g: number;
                /** @description what has no room in the stores and leaves, on average */
                no_room_g: number;
                lines: {
                    order: string | null;
                    item: string;
                    group: string;
                    day: string;
                    pieces: number;
                    met_ppm: number;
                    share_ppm: number;
                    word: string;
                    sentence: string;
                }[];
                /** @description Days on which something is wanted: the chance that all of it is met. */
                days: {
                    day: string;
                    met_ppm: number;
                    share_ppm: number;
                    word: string;
                    sentence: string;
                }[];
                /** @description What the record has taught of uses and deliveries: how often each was seen; what is not known goes as planned. */
                learnt: {
                    name: string;
                    seen: number;
                    known: boolean;
                    sentence: string;
                }[];
            };
            /** @description What the plan taken tells to do today, what was done of it since it was taken, and what is left; of the plan taken only. */
            today?: {
                /** @enum {unknown} */
                act: "bought" | "used" | "leaves" | "sold";
                good: string;
                use: string | null;
                planned_g: number;
                done_g: number;
                left_g: number;
            }[];
            before?: components["schemas"]["ReceivedSums"];
            difference?: components["schemas"]["ReceivedDifference"];
            base?: components["schemas"]["ReceivedPlan"];
        };
        Job: {
            id: string;
            trial: boolean;
            /** @enum {unknown} */
            keep: "most" | "balance" | "best";
            /** @description share of what is wanted that is to be met; 0: whatever costs least */
            service_ppm: number;
            /** @description the share is the profile's, since nobody asked for one */
            service_of_profile: boolean;
            changes: {
                [key: string]: unknown;
            }[];
            /** @enum {unknown} */
            state: "working" | "done" | "failed" | "stopped";
            share_ppm: number;
            plan: components["schemas"]["Plan"] | null;
            received: components["schemas"]["ReceivedPlan"] | null;
            problem: {
                [key: string]: unknown;
            } | null;
        };
        House: {
            places: {
                code: string;
                name: string | null;
                kind: string;
                parent: string | null;
                in_service: boolean;
            }[];
            instruments: {
                code: string;
                kind: string;
                place: string | null;
                due_ms: number | null;
            }[];
            items: {
                code: string;
                name: string | null;
                kind: string;
                family: string | null;
                net_mg: number | null;
                pieces_per_case: number | null;
                source_item: string | null;
            }[];
            partners: {
                code: string;
                role: string;
                market: string | null;
            }[];
            markets: string[];
            /** @description The newest attachments that stand, validations first. */
            papers: {
                sha256: string;
                kind: string;
                name: string;
                lot: string | null;
                entry: number;
                at_ms: number;
            }[];
        };
        LimitChange: {
            entry: number;
            low: string | null;
            high: string | null;
            source: string;
            word: string | null;
            from_ms: number;
            by: number;
            reason: string;
            loosens: boolean;
        } & {
            [key: string]: unknown;
        };
        Limit: {
            name: string;
            item: string;
            low: string | null;
            high: string | null;
            unit: string;
            source: string | null;
            locator: string | null;
            /** @description Where the value comes from; null: a change did not say. */
            word: string | null;
            may_release: boolean;
            changed_by: number | null;
            from_ms: number | null;
            reason: string | null;
            changes: components["schemas"]["LimitChange"][];
        };
        Limits: {
            profile: {
                name: string;
                title: string;
                digest: string;
                from_ms: number;
            };
            limits: components["schemas"]["Limit"][];
            rules: components["schemas"]["Rule"][];
        };
        PlanTaken: {
            taken: {
                day: string;
                place: string;
                item: string;
                seed_lot: string | null;
                seed_mg: number;
                grow_days: number;
                made: boolean;
            }[];
            promised: {
                order: string;
                entry: number;
                at_ms: number;
                told: {
                    day: string;
                    pieces: number;
                }[];
            }[];
            plan: components["schemas"]["Plan"] | null;
            /** @description the house receives fruit: its plan is received, and plan is null */
            receives: boolean;
            /** @description share of what is wanted that the profile asks plans to meet; 0: whatever costs least */
            service_ppm: number;
            received: components["schemas"]["ReceivedPlan"] | null;
            job: components["schemas"]["Job"] | null;
        };
        Rule: {
            /** @enum {string} */
            rule: "surface" | "recipe" | "market" | "retest" | "zone" | "training" | "acceptance" | "clause";
            name: string;
            says: string;
            source: string;
            locator: string;
            word: string;
        };
        PlanFloor: {
            from: string;
            to: string;
            crops: {
                item: string;
                planned: number;
                kept: number;
                filled: number;
                moved_chamber: number;
                moved_day: number;
                gone: number;
                added: number;
                waiting: number;
                /** @description mean, of those started */
                seed_diff_g: number;
                /** @description of the seed planned, what the next plan's rehearsal counts on: learned from the last 28 days */
                seed_counted_ppm: number;
                emptied: number;
                /** @description mean, later than planned, in tenths */
                harvest_days: number;
                /** @description of what the seed gives by the standard */
                harvest_ppm: number | null;
            }[];
            reasons: {
                /**
                 * @description null: nobody told
                 * @enum {unknown}
                 */
                reason: "seed-short" | "chamber-not-ready" | "people-short" | "decided-otherwise" | null;
                filled: number;
                moved: number;
                gone: number;
                added: number;
            }[];
            starts: {
                /** @enum {unknown} */
                kind: "kept" | "filled" | "moved-chamber" | "moved-day" | "gone" | "added" | "waiting";
                item: string;
                day: string;
                place: string;
                planned_g: number | null;
                made_day: string | null;
                made_place: string | null;
                made_g: number | null;
                lot: string | null;
                due: string | null;
                harvested: string | null;
                harvest_g: number | null;
                expected_g: number | null;
                /** @description why it went otherwise, as told last */
                departure: {
                    /** @enum {unknown} */
                    reason: "seed-short" | "chamber-not-ready" | "people-short" | "decided-otherwise";
                    what: string | null;
                    entry: number;
                    by: number;
                } | null;
                sentence: string;
            }[];
        };
        StepUp: {
            person: number;
            pin: string;
        } | {
            badge: string;
        };
        Station: {
            code: string;
            place: string | null;
            enrolled_ms: number;
            by: number;
            last_ms: number | null;
        };
        Stations: {
            stations: components["schemas"]["Station"][];
        };
        StationNew: {
            code: string;
            place?: string | null;
        };
        StationCode: {
            code: string;
        };
        Person: {
            number: number;
            role: string;
            /** @description null: erased or never given */
            name: string | null;
            active: boolean;
            has_pin: boolean;
            has_badge: boolean;
            locked: boolean;
        };
        People: {
            people: components["schemas"]["Person"][];
        };
        PersonNew: {
            number: number;
            role: string;
            name: string;
            contact?: string | null;
            password?: string | null;
            active?: boolean | null;
            /** @description of the manager who asks */
            by_password: string;
        };
        PersonNumber: {
            number: number;
        };
        PinNew: {
            pin: string;
            password: string;
        };
        BadgeNew: {
            badge: string;
            /** @description of the one who asks */
            password: string;
        };
        LanguageNew: {
            /** @enum {unknown} */
            language: "en" | "es";
        };
        Unlock: {
            /** @description of the one who asks */
            password: string;
        };
        CorrectiveAction: {
            entry: number;
            by: number;
            at_ms: number;
            cause: string;
            correction: string;
            /** @enum {unknown} */
            disposition: "no-product" | "release" | "rework" | "divert" | "destroy";
            restart: string;
        };
        Deviation: {
            deviation: number;
            entry: number;
            rule: string;
            sentence: string;
            lot: string | null;
            place: string | null;
            at_ms: number;
            by: number;
            from_ms: number | null;
            to_ms: number | null;
            /** @enum {unknown} */
            next: "correct" | "verify";
            mine: boolean;
            action: components["schemas"]["CorrectiveAction"] | null;
            lots: string[];
            lot_count: number;
        };
        EnvironmentAction: {
            environment: number;
            place: string;
            product_hold: boolean;
            opened_ms: number;
            tasks: number;
            organism: string | null;
            sample: string | null;
            site: string | null;
            zone: number | null;
            clear: number | null;
        };
        Block: {
            /** @enum {unknown} */
            kind: "duty" | "work-order";
            code: string;
            sentence: string;
            place: string;
            since_ms: number;
            form: string;
            with: {
                [key: string]: unknown;
            };
        };
        UnmetClause: {
            clause: string;
            title: string;
            lot: string;
            place: string | null;
            sentence: string;
        };
        WaitingLot: {
            lot: string;
            item: string;
            mg: number;
            unmet: components["schemas"]["UnmetClause"][];
        };
        SafetyBoard: {
            deviations: components["schemas"]["Deviation"][];
            deviation_count: number;
            environments: components["schemas"]["EnvironmentAction"][];
            blocks: components["schemas"]["Block"][];
            waiting: components["schemas"]["WaitingLot"][];
            waiting_count: number;
        };
        Duty: {
            code: string;
            title: string;
            kind: string;
            by: string;
            role: string;
            source: string;
            place: string | null;
            about: string | null;
            every_ms: number;
            last_ms: number | null;
            due_ms: number;
            /** @enum {unknown} */
            state: "done" | "due" | "late" | "overdue";
            blocks: boolean;
            form: string;
            verb: string;
            with: {
                [key: string]: unknown;
            };
        };
        SwabZone: {
            zone: number;
            every_ms: number | null;
            clear: number | null;
            source: string | null;
        };
        SwabSite: {
            site: string;
            place: string;
            surface: string;
            zone: number;
            last_ms: number | null;
            /** @enum {unknown} */
            result: "none" | "waiting" | "presumptive" | "negative" | "confirmed-positive";
            next: boolean;
        };
        SwabHits: {
            month: string;
            zone: number;
            swabs: number;
            hits: number;
            low_ppm: number;
            high_ppm: number;
        };
        Schedule: {
            now_ms: number;
            duties: components["schemas"]["Duty"][];
            zones: components["schemas"]["SwabZone"][];
            sites: components["schemas"]["SwabSite"][];
            per_round: number;
            rounds: number;
            hits: components["schemas"]["SwabHits"][];
        };
        SampleWant: {
            market: string;
            what: string[];
            samples: number;
            volume_ml: number;
            locations: string[];
            min_age_ms: number;
            organisms: string[];
            source: string;
            found_per_l_milli: number | null;
            miss_ppm: number | null;
        };
        Custody: {
            at_ms: number;
            ok: boolean;
            to: string;
            temp_mc: number | null;
            seal: string | null;
        };
        DrawnSample: {
            sample: string;
            location: string;
            what: string;
            taken_ms: number;
            age_ms: number | null;
            volume_ml: number;
            entry: number;
            findings: {
                organism: string;
                state: string;
                at_ms: number;
            }[];
            custody: components["schemas"]["Custody"][];
        };
        SampleBatch: {
            lot: string;
            chamber: string;
            item: string;
            wet_ms: number;
            markets: string[];
            wants: components["schemas"]["SampleWant"][];
            samples: components["schemas"]["DrawnSample"][];
            harvest_ms: number | null;
            earliest_ms: number;
            latest_ms: number | null;
            needed: number;
            counted: number;
            /** @enum {unknown} */
            state: "early" | "due" | "late" | "drawn";
            miss_ppm: number | null;
        };
        WaitingSample: {
            sample: string;
            lot: string | null;
            place: string | null;
            taken_ms: number;
            due_ms: number;
            presumptive: boolean;
            late: boolean;
        };
        SampleCalendar: {
            now_ms: number;
            transit_ms: number;
            lab_ms: number;
            batches: components["schemas"]["SampleBatch"][];
            waiting: components["schemas"]["WaitingSample"][];
        };
        WaterSeries: {
            /** @enum {unknown} */
            kind: "chlorine" | "ph" | "temp" | "turbidity" | "flow" | "solids" | "conductivity" | "make_up" | "blow_down" | "orp";
            unit: string;
            low: number | null;
            high: number | null;
            source: string | null;
            readings: {
                at_ms: number;
                value: number;
                ok: boolean;
                entry: number;
            }[];
        };
        WaterPlace: {
            place: string;
            series: components["schemas"]["WaterSeries"][];
            product: {
                lot: string;
                from_ms: number;
                to_ms: number;
            }[];
        };
        WaterSystem: {
            place: string;
            results: {
                sample: string;
                taken_ms: number;
                organism: string | null;
                state: string;
                at_ms: number | null;
            }[];
        };
        WaterPeriod: {
            from_ms: number;
            to_ms: number;
            known: boolean;
            low: boolean;
            giardia: number;
            virus: number;
        };
        WaterContact: {
            from_ms: number;
            to_ms: number;
            known: boolean;
            low: boolean;
            giardia: number;
            virus: number;
            giardia_asked: number;
            virus_asked: number;
            source: string;
            worst: {
                /** @enum {unknown} */
                kind: "chlorine" | "ph" | "temp" | "flow";
                unit: string;
                value: number | null;
                entry: number | null;
            }[];
            segments: {
                code: string;
                volume_ml: number;
                flow_ml_min: number;
                baffling: number;
                t10_ms: number;
                giardia: number;
                virus: number;
            }[];
        };
        WaterBalance: {
            /** @enum {unknown} */
            measure: "solids" | "turbidity" | "conductivity";
            unit: string;
            limit: number;
            source: string | null;
            changed_ms: number | null;
            next_change_ms: number | null;
            flows_read: boolean;
            leaves_ml_h: number;
            known: boolean;
            load: number;
            steady: number | null;
            /** @enum {unknown} */
            reach: "stays-below" | "reaches" | "above";
            reach_ms: number | null;
            due: boolean;
            change_by_ms: number | null;
            readings: {
                at_ms: number;
                value: number;
            }[];
            forecast: {
                at_ms: number;
                value: number;
            }[];
        };
        WaterLoop: {
            place: string;
            rule: string | null;
            contact: components["schemas"]["WaterContact"] | null;
            periods: components["schemas"]["WaterPeriod"][];
            balance: components["schemas"]["WaterBalance"] | null;
        };
        WaterStop: {
            place: string;
            why: string;
            since_ms: number;
            entry: number;
            heard_ms: number | null;
            heard_by: number | null;
        };
        WaterDuty: {
            code: string;
            title: string;
            place: string | null;
            due_ms: number;
            state: string;
        };
        Waters: {
            from_ms: number;
            to_ms: number;
            places: components["schemas"]["WaterPlace"][];
            systems: components["schemas"]["WaterSystem"][];
            stops: components["schemas"]["WaterStop"][];
            loops: components["schemas"]["WaterLoop"][];
            duties: components["schemas"]["WaterDuty"][];
        };
        TreatmentPoint: {
            t_ms: number;
            temps_mc: number[];
            coldest_mc: number;
            rate_milli: number;
            f_best_ms: number;
            f_conservative_ms: number;
        };
        TreatmentCurve: {
            probes: string[];
            logged: number;
            lost: number;
            gaps: number;
            gap_longest_ms: number;
            coldest_probe: number;
            overdue: boolean;
            limit_mc: number | null;
            f_best_ms: number;
            f_conservative_ms: number;
            reduction_shown: string;
            share_come_up_ppm: number;
            share_hold_ppm: number;
            share_cooling_ppm: number;
            points: components["schemas"]["TreatmentPoint"][];
        };
        SignedConstants: {
            authority: string;
            entry: number;
            at_ms: number;
            target_milli: number;
        };
        Treatment: {
            lot: string;
            item: string;
            /** @enum {unknown} */
            way: "recipe" | "constants" | "supplier";
            recipe: string | null;
            reason: string;
            place: string | null;
            recipe_source: string | null;
            entry: number;
            at_ms: number;
            met: boolean;
            hold_s: number | null;
            hold_wanted_s: number | null;
            validation: boolean | null;
            reduction_target_milli: number | null;
            signed: components["schemas"]["SignedConstants"] | null;
            refused: string | null;
            curve: components["schemas"]["TreatmentCurve"] | null;
            stand_in: string | null;
            reference_mc: number;
            z_mc: number;
            d_ms: number;
            tested_max_mc: number | null;
            constants: {
                name: string;
                value: number;
                unit: string;
                source: string;
                locator: string;
                word: string;
            }[];
            cautions: string[];
            deviations: {
                deviation: number;
                entry: number;
                rule: string;
                sentence: string;
                closed_ms: number | null;
            }[];
            papers: {
                sha256: string;
                kind: string;
                name: string;
            }[];
        };
        RegisterCount: {
            entry: number;
            code: string;
            place: string | null;
            lot: string | null;
            ok: boolean;
            at_ms: number;
            by: number;
            counted: number;
            expected: number;
            what: string | null;
        };
        Register: {
            register: string;
            of: string;
            place: string | null;
            expected: number;
            counts: components["schemas"]["RegisterCount"][];
            year: number;
            year_off: number;
        };
        RoundNote: {
            entry: number;
            code: string;
            place: string | null;
            lot: string | null;
            ok: boolean;
            at_ms: number;
            by: number;
            what: string | null;
        };
        Round: {
            duty: string;
            title: string;
            of: string;
            place: string | null;
            /** @enum {string} */
            state: "done" | "due" | "late" | "overdue";
            due_ms: number;
            role: string;
            told: boolean;
            notes: components["schemas"]["RoundNote"][];
            year: number;
            year_off: number;
        };
        WorkOrder: {
            work_order: string;
            place: string;
            what: string;
            opened_ms: number;
            entry: number;
            by: number | null;
            open: boolean;
            back_ms: number | null;
            back_by: number | null;
            back_entry: number | null;
            note: string | null;
        };
        WorkPlace: {
            place: string;
            orders: number;
            open: number;
        };
        MetalReject: {
            entry: number;
            code: string;
            place: string | null;
            lot: string | null;
            ok: boolean;
            at_ms: number;
            by: number;
            what: string | null;
            passes: number;
        };
        Retained: {
            retained: string;
            lot: string | null;
            place: string | null;
            at_ms: number;
            until_ms: number;
            pieces: number;
            mg: number;
            entry: number;
            over: boolean;
        };
        DeliverySource: {
            supplier: string;
            item: string;
            /** @enum {string} */
            inspection: "normal" | "tightened" | "discontinued";
            deliveries: number;
            accepted: number;
            refused: number;
            last_ms: number;
        };
        PackSource: {
            check: string;
            title: string;
            line: string;
            item: string;
            /** @enum {string} */
            inspection: "normal" | "tightened" | "discontinued";
            lots: number;
            accepted: number;
            refused: number;
            last_ms: number;
        };
        Inspection: {
            /**
             * @description null: no sample is asked, or not yet known of whose lot.
             * @enum {unknown}
             */
            inspection: "normal" | "tightened" | "discontinued" | null;
            /** @description The supplier or the line. */
            from: string | null;
            item: string | null;
            /** @description Sacks or pieces; null where it is not known yet. */
            size: number | null;
            samples: number | null;
            accept: number | null;
            reject: number | null;
            /** @description The lot was decided on before. */
            again: boolean;
            /** @description The row of the plan is from memory. */
            recalled: boolean;
        };
        Registers: {
            now_ms: number;
            registers: components["schemas"]["Register"][];
            rounds: components["schemas"]["Round"][];
            work: components["schemas"]["WorkOrder"][];
            work_places: components["schemas"]["WorkPlace"][];
            rejects: components["schemas"]["MetalReject"][];
            retained: components["schemas"]["Retained"][];
            deliveries: components["schemas"]["DeliverySource"][];
            packs: components["schemas"]["PackSource"][];
        };
        Complaint: {
            entry: number;
            complaint: string;
            lot: string;
            item: string;
            at_ms: number;
            what: string | null;
            customer: string | null;
            pieces: number | null;
            by: number;
        };
        ComplaintMonth: {
            month: string;
            item: string;
            complaints: number;
            packs: number;
            rate_ppm: number | null;
            low_ppm: number | null;
            high_ppm: number | null;
        };
        ComplaintsAlike: {
            item: string;
            complaint: string;
            lots: string[];
            count: number;
            asks: boolean;
        };
        Complaints: {
            now_ms: number;
            complaints: components["schemas"]["Complaint"][];
            months: components["schemas"]["ComplaintMonth"][];
            alike: components["schemas"]["ComplaintsAlike"][];
        };
        Me: {
            person: number | null;
            name: string | null;
            role: string | null;
            /** @enum {unknown} */
            how: "password" | "pin" | "badge" | null;
            station: string | null;
            idle_s: number;
            /** @enum {unknown} */
            language: "en" | "es";
            may: string[];
            zone: string;
            /** @description The house day, as 2026-03-01. */
            plant_day: string;
            now_ms: number;
            /** @description Entries of the daybook. */
            size: number;
            /** @description The shift in force, by its name in the profile. */
            shift: {
                name: string;
                day: string;
                start_ms: number;
                end_ms: number;
            } | null;
            /** @description What is stopped in the house, newest first; none are told where nobody is signed in and it is no station. */
            stops: components["schemas"]["Stop"][];
            /** @description The house receives fruit and has no chambers; false before there is a profile. */
            receives: boolean;
        };
        Stop: {
            place: string;
            /** @enum {unknown} */
            of: "water" | "line";
            why: string;
            since_ms: number;
        };
        SignIn: {
            person: number;
            password: string;
        };
        LineCheck: {
            kind: string;
            title: string;
            instrument: string | null;
            at_ms: number | null;
            entry: number | null;
            due_ms: number | null;
            /** @enum {unknown} */
            state: "good" | "due" | "bad" | "none";
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
        };
        PackLine: {
            place: string;
            name: string;
            in_service: boolean;
            run: string | null;
            checks: components["schemas"]["LineCheck"][];
        };
        PackRun: {
            run: string;
            place: string;
            family: string;
            start_ms: number;
            end_ms: number | null;
            entry: number;
            lots: number;
            pieces: number;
            cases: number;
            declared_mg: number | null;
            mean_net_mg: number | null;
            giveaway_mg: number;
            giveaway_ppm: number | null;
        };
        PackedLot: {
            entry: number;
            at_ms: number;
            place: string;
            run: string | null;
            lot: string;
            item: string;
            pieces: number;
            cases: number;
            declared_mg: number;
            mean_net_mg: number;
            giveaway_mg: number;
            holds: number;
            /** @enum {unknown} */
            state: "open" | "held" | "released" | "closed";
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            label: {
                entry: number | null;
                /** @enum {unknown} */
                state: "good" | "due" | "bad" | "none";
                /** @enum {unknown} */
                tone: "due" | "waiting" | "stopped" | "done";
            };
        };
        Packing: {
            lines: components["schemas"]["PackLine"][];
            runs: components["schemas"]["PackRun"][];
            lots: components["schemas"]["PackedLot"][];
        };
        Excursion: {
            entry: number;
            sentence: string;
            from_ms: number | null;
            to_ms: number | null;
            closed: boolean;
        };
        ColdRoom: {
            place: string;
            name: string;
            lots: number;
            mg: number;
            temp_mc: number | null;
            temp_ms: number | null;
            /** @enum {unknown} */
            how: "logged" | "checked" | null;
            entry: number | null;
            low_mc: number | null;
            high_mc: number | null;
            /** @enum {unknown} */
            state: "within" | "outside" | "silent" | "none";
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            excursions: components["schemas"]["Excursion"][];
        };
        KeptLot: {
            lot: string;
            item: string;
            kind: string;
            place: string | null;
            mg: number;
            pieces: number;
            holds: number;
            /** @enum {unknown} */
            state: "open" | "held" | "released";
            /** @enum {unknown} */
            tone: "due" | "waiting" | "stopped" | "done";
            born_ms: number;
            day: string;
            age_d: number;
            best_before: string | null;
            left_d: number | null;
            leave_by: string | null;
            takers: number;
            customers: number;
            /** @enum {unknown} */
            life: "past" | "nobody" | "today" | "fewer" | "some" | "all" | "none";
            /** @enum {unknown} */
            life_tone: "due" | "waiting" | "stopped" | "done";
        };
        Keeping: {
            day: string;
            rooms: components["schemas"]["ColdRoom"][];
            customers: {
                customer: string;
                life_days: number;
                market: string;
                entry: number;
            }[];
            stock: components["schemas"]["KeptLot"][];
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export type operations = Record<string, never>;
