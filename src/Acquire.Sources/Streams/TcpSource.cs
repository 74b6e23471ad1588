using System.Net.Sockets;
using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Sources.Streams;

/// <summary>Bytes from a TCP connection that it makes; the end of the stream is the end, a broken connection a fault. It is not made anew.</summary>
public sealed class TcpSource : ByteSource
{
    private const int BlockBytes = 65_536;

    // A device that was switched off sends no farewell: after this many unanswered questions, seconds apart, the connection is broken.
    private const int QuietSeconds = 10;
    private const int QuestionSeconds = 3;
    private const int Questions = 3;

    private readonly string _host;
    private readonly int _port;
    private readonly TcpOptions _options;

    /// <summary>Makes a source; nothing is looked up or connected before <see cref="ByteSource.Run"/>.</summary>
    /// <param name="host">Name or address of the host.</param>
    /// <param name="port">1 to 65,535.</param>
    /// <param name="options">How it connects; null for the defaults.</param>
    /// <param name="decoder">Makes the decoder for a receiver, once, when the source runs.</param>
    /// <exception cref="ArgumentException">The host is empty, or a number is outside its range.</exception>
    public TcpSource(string host, int port, TcpOptions? options, Func<IScanReceiver, IByteDecoder> decoder)
        : base(host?.Contains(':', StringComparison.Ordinal) == true ? $"tcp:[{host}]:{port}" : $"tcp:{host}:{port}", decoder)
    {
        ArgumentException.ThrowIfNullOrEmpty(host);
        if (port is < 1 or > 65_535) throw new ArgumentOutOfRangeException(nameof(port), port, $"Port is {port}; a port is 1 to 65,535. Give the one that the device listens on.");
        _host = host;
        _port = port;
        _options = options ?? new TcpOptions();
        _options.Validate();
    }

    /// <inheritdoc/>
    public override bool CanWait => _options.Waits;

    /// <inheritdoc/>
    protected override void RunBytes(CancellationToken stop)
    {
        using ReadWait wait = new(stop);
        using Socket? socket = Connect(wait, stop);
        if (socket is null) return;
        byte[] buffer = GC.AllocateUninitializedArray<byte>(BlockBytes, pinned: true);
        while (!stop.IsCancellationRequested)
        {
            int count;
            try
            {
                if (!wait.TryWait(socket.ReceiveAsync(buffer.AsMemory(), SocketFlags.None, stop), out count)) return;
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
            catch (SocketException exception)
            {
                throw new SourceException(SourceFailure.ConnectionLost, $"{Name}: the connection broke ({exception.Message}); check cable and supply of the device, then start again.", exception);
            }

            if (count == 0) return;
            Give(buffer.AsSpan(0, count));
        }
    }

    private Socket? Connect(ReadWait wait, CancellationToken stop)
    {
        using CancellationTokenSource patience = CancellationTokenSource.CreateLinkedTokenSource(stop);
        patience.CancelAfter(_options.ConnectTimeout);
        Socket socket = new(SocketType.Stream, ProtocolType.Tcp);
        try
        {
            if (wait.TryWait(ConnectAsync(socket, patience.Token), out _))
            {
                AskWhenQuiet(socket);
                return socket;
            }
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
        }
        catch (OperationCanceledException exception)
        {
            socket.Dispose();
            throw new SourceException(SourceFailure.Unreachable, $"{Name}: nobody answered within {_options.ConnectTimeout.TotalSeconds:0.###} s; check the address and that the device is on.", exception);
        }
        catch (SocketException exception)
        {
            socket.Dispose();
            throw OfConnect(exception);
        }

        socket.Dispose();
        return null;
    }

    private async ValueTask<int> ConnectAsync(Socket socket, CancellationToken patience)
    {
        await socket.ConnectAsync(_host, _port, patience).ConfigureAwait(false);
        return 0;
    }

    private static void AskWhenQuiet(Socket socket)
    {
        socket.SetSocketOption(SocketOptionLevel.Socket, SocketOptionName.KeepAlive, true);
        try
        {
            socket.SetSocketOption(SocketOptionLevel.Tcp, SocketOptionName.TcpKeepAliveTime, QuietSeconds);
            socket.SetSocketOption(SocketOptionLevel.Tcp, SocketOptionName.TcpKeepAliveInterval, QuestionSeconds);
            socket.SetSocketOption(SocketOptionLevel.Tcp, SocketOptionName.TcpKeepAliveRetryCount, Questions);
        }
        catch (SocketException)
        {
            // A system that has its own times keeps them; the connection is good.
        }
    }

    private SourceException OfConnect(SocketException exception) => exception.SocketErrorCode switch
    {
        SocketError.ConnectionRefused => new(SourceFailure.Refused, $"{Name}: the host is there, but nobody listens at this port; start the sender, or check the port's number.", exception),
        SocketError.HostNotFound or SocketError.NoData or SocketError.TryAgain or SocketError.NoRecovery =>
            new(SourceFailure.HostUnknown, $"{Name}: no host of that name is known; check its spelling, or give the address.", exception),
        SocketError.AccessDenied => new(SourceFailure.NotPermitted, $"{Name}: this user may not connect there; check the firewall.", exception),
        _ => new(SourceFailure.Unreachable, $"{Name}: the host cannot be reached ({exception.Message}); check the address and the network.", exception),
    };
}
