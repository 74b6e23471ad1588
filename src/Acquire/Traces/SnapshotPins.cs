namespace Acquire.Traces;

/// <summary>Decides which of several buffers the writer may fill and which one a reader may copy, without either waiting for the other.</summary>
// There is one slot per reader that copies at the same time, and two buffers more than slots.
//
//   slot:  Free --reader--> Claimed --reader or writer--> index of the pinned buffer --reader--> Free
//
// S1  The writer fills a buffer that is neither the published one nor pinned by any slot.
// S2  A slot that holds an index keeps it until its own reader frees it.
// S3  At most one buffer per slot is pinned and one is published, so one is always free: the writer never waits and never fails.
//
// The trouble is the moment between a reader's look at what is published and its pin: a writer that publishes twice in it would fill
// the very buffer. A reader therefore first says that it is about to pin (Claimed). A writer that meets a claim does not wait for it: it
// pins the published buffer on the reader's behalf. Both use a compare-exchange on Claimed, so exactly one of them decides, and a reader
// that comes second takes what the writer chose. A reader's steps are bounded whatever the writer does: claim, look, pin, copy, free.
internal sealed class SnapshotPins
{
    private const int Free = -1;
    private const int Claimed = -2;

    // One slot per cache line, so that readers do not slow each other or the writer.
    private const int Stride = 16;

    private readonly int[] _slots;
    private readonly bool[] _used;
    private int _published;

    public SnapshotPins(int readers)
    {
        _slots = new int[readers * Stride];
        Array.Fill(_slots, Free);
        _used = new bool[readers + 2];
    }

    /// <summary>Buffers needed, of which number 0 is published at the start.</summary>
    public int BufferCount => _used.Length;

    /// <summary>Writer: the number of a buffer that nobody reads and nobody will read until it is published.</summary>
    public int FindFree()
    {
        int published = _published;
        Array.Clear(_used);
        _used[published] = true;
        for (int s = 0; s < _slots.Length; s += Stride)
        {
            // Acquire: when this shows that a reader freed its slot, its copying lies before our filling.
            int pinned = Volatile.Read(ref _slots[s]);
            if (pinned == Claimed)
            {
                // Full fence, and with it release: the reader that finds our choice finds the filled buffer.
                int seen = Interlocked.CompareExchange(ref _slots[s], published, Claimed);
                // Another value means that the reader pinned, or pinned and freed, in between; a claim made after that is of a
                // reader that looks at what is published now, and that is in use already.
                pinned = seen == Claimed ? published : seen;
            }

            if (pinned >= 0) _used[pinned] = true;
        }

        return Array.IndexOf(_used, value: false);
    }

    /// <summary>Writer: publishes a filled buffer.</summary>
    public void Publish(int buffer)
    {
        // Release: the filling lies before the publication. Full fence: the publication lies before the next look at the slots, so of a
        // reader's claim and this publication at least one side sees the other's: we see the claim, or the reader sees this buffer.
        Interlocked.Exchange(ref _published, buffer);
    }

    /// <summary>Reader: pins the published buffer.</summary>
    /// <param name="slot">The slot to free afterwards.</param>
    /// <returns>Number of the buffer; it stays as it is until the slot is freed.</returns>
    /// <remarks>Spins only while every slot is taken, that is, while more readers copy at once than there are slots.</remarks>
    public int Pin(out int slot)
    {
        slot = Claim();
        return Settle(slot, Look());
    }

    // The steps of a pin, apart so that a test can put a writer's steps between any two of them.

    internal int Claim()
    {
        SpinWait spin = default;
        while (true)
        {
            for (int s = 0; s < _slots.Length; s += Stride)
                if (Interlocked.CompareExchange(ref _slots[s], Claimed, Free) == Free) return s;
            spin.SpinOnce();
        }
    }

    // The claim was a full fence: it lies before this look (see Publish). Acquire: the buffer's filling lies before our copying.
    internal int Look() => Volatile.Read(ref _published);

    internal int Settle(int slot, int published)
    {
        // Full fence: when the writer chose for us, its filling of that buffer lies before our copying.
        int seen = Interlocked.CompareExchange(ref _slots[slot], published, Claimed);
        return seen == Claimed ? published : seen;
    }

    /// <summary>Reader: gives the buffer back.</summary>
    public void Unpin(int slot)
    {
        // Release: our copying lies before the writer's next filling.
        Volatile.Write(ref _slots[slot], Free);
    }
}
